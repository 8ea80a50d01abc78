from django.urls import URLPattern, URLResolver, path

from maintenance.views import defect, report

app_name = "maintenance"
urlpatterns: list[URLPattern | URLResolver] = [
    path("defects/", defect.defects, name="defects"),
    path("defects/report/", report.report, name="report"),
    path("defects/report/where/", report.where, name="where"),
    path("defects/<int:pk>/", defect.defect, name="defect"),
    path("defects/<int:pk>/reading/", defect.add, name="reading"),
    path("defects/<int:pk>/mend/", defect.mend, name="mend"),
    path("defects/<int:pk>/propose/", defect.propose, name="propose"),
    path("defects/<int:pk>/correct/", defect.correct, name="correct"),
    path("defects/<int:pk>/reopen/", defect.reopen, name="reopen"),
    path("defects/<int:pk>/photos/<str:sha256>", defect.photo, name="photo"),
]
