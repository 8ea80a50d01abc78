from django.db import migrations, models

KINDS = ["harmonic constants", "printed table", "secondary port", "fitted"]


class Migration(migrations.Migration):
    dependencies = [("readiness", "0005_coastlines")]

    operations = [
        migrations.RemoveConstraint(model_name="tidestation", name="tide_station_kind_is_a_known_word"),
        migrations.AddField(
            model_name="tidestation",
            name="fit",
            field=models.JSONField(blank=True, null=True, verbose_name="what the fit left over"),
        ),
        migrations.AlterField(
            model_name="tidestation",
            name="kind",
            field=models.CharField(
                choices=[
                    ("harmonic constants", "harmonic constants"),
                    ("printed table", "printed table"),
                    ("secondary port", "secondary port"),
                    ("fitted", "fitted from observations"),
                ],
                max_length=20,
            ),
        ),
        migrations.AddConstraint(
            model_name="tidestation",
            constraint=models.CheckConstraint(
                condition=models.Q(("kind__in", KINDS)), name="tide_station_kind_is_a_known_word"
            ),
        ),
        migrations.AddConstraint(
            model_name="tidestation",
            constraint=models.CheckConstraint(
                condition=models.Q(("fit__isnull", False), ("kind", "fitted"))
                | models.Q(models.Q(("kind", "fitted"), _negated=True), ("fit__isnull", True)),
                name="tide_station_fitted_says_what_the_fit_left_over",
            ),
        ),
    ]
