from django.urls import URLPattern, URLResolver, path

from readiness.views import condition, decision, evidence, home, leg, leg_crew, leg_plan, under_way, waiver

app_name = "readiness"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", home.home, name="home"),
    path("see/<str:kind>/<str:key>/", evidence.see, name="see"),
    path("legs/", leg.legs, name="legs"),
    path("legs/<int:pk>/", leg.leg, name="leg"),
    path("legs/<int:pk>/decide/", decision.decide, name="decide"),
    path("legs/<int:pk>/conditions/", condition.meet, name="meet"),
    path("legs/<int:pk>/conditions/<int:met_id>/strike/", condition.strike, name="strike"),
    path("legs/<int:pk>/waive/", waiver.waive, name="waive"),
    path("legs/<int:pk>/waivers/<int:waiver_id>/withdraw/", waiver.withdraw, name="withdraw"),
    path("legs/<int:pk>/plan/", leg_plan.plan, name="plan"),
    path("legs/<int:pk>/contact/", leg_plan.contact, name="contact"),
    path("legs/<int:pk>/refuges/", leg_plan.refuges, name="refuges"),
    path("legs/<int:pk>/keeper/<int:gate_id>/", leg_plan.keeper, name="keeper"),
    path("legs/<int:pk>/copy/", leg_plan.copy, name="copy"),
    path("legs/<int:pk>/crew/", leg_crew.crew, name="leg_crew"),
    path("legs/<int:pk>/under-way/", under_way.under_way, name="under_way"),
    path("legs/<int:pk>/depart/", under_way.depart, name="depart"),
    path("legs/<int:pk>/position/", under_way.position, name="position"),
    path("legs/<int:pk>/end/", under_way.end, name="end"),
]
