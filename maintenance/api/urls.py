from django.urls import URLPattern, URLResolver, path

from maintenance.api import defect

urlpatterns: list[URLPattern | URLResolver] = [
    path("defects/", defect.Defects.as_view(), name="api_defects"),
    path("defects/<int:pk>/", defect.DefectDetail.as_view(), name="api_defect"),
]
