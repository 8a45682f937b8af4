from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("workdays", "0023_plans_on_the_way"),
    ]

    operations = [
        migrations.AddField(
            model_name="signup",
            name="expected_at",
            field=models.DateTimeField(
                blank=True,
                help_text="Was missing on the day; is counted as coming then.",
                null=True,
            ),
        ),
        migrations.AddField(
            model_name="signup",
            name="not_coming_at",
            field=models.DateTimeField(
                blank=True,
                help_text="When it was noted on the day that they do not come.",
                null=True,
            ),
        ),
        migrations.AddField(
            model_name="crewplan",
            name="begins_at",
            field=models.DateTimeField(
                blank=True,
                help_text="Planned again on the day, from then on; empty: for the whole day.",
                null=True,
            ),
        ),
        migrations.AddField(
            model_name="crewplan",
            name="difference",
            field=models.JSONField(
                blank=True,
                default=list,
                help_text="Sentences: what changes against the plan in force.",
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="begins_at",
            field=models.DateTimeField(
                blank=True, help_text="Plan the rest of the day from then on.", null=True
            ),
        ),
        migrations.AddField(
            model_name="planrun",
            name="max_moved",
            field=models.PositiveSmallIntegerField(
                blank=True,
                help_text="Most people who may be moved; empty: any number.",
                null=True,
            ),
        ),
    ]
