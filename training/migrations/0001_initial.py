import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("coordinator", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="Skill",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.SlugField(unique=True)),
                ("name", models.CharField(max_length=60)),
                ("practised_minutes", models.PositiveIntegerField(default=480)),
                ("practised_stones", models.PositiveSmallIntegerField(default=0)),
                ("order", models.PositiveSmallIntegerField(default=0)),
            ],
            options={
                "ordering": ["order", "pk"],
            },
        ),
        migrations.CreateModel(
            name="HoursEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("day_number", models.PositiveIntegerField()),
                ("block_number", models.PositiveIntegerField()),
                ("placement_number", models.PositiveIntegerField(blank=True, null=True)),
                ("cemetery_number", models.PositiveIntegerField()),
                ("place", models.CharField(max_length=120)),
                ("on", models.DateField()),
                ("minutes", models.PositiveIntegerField()),
                ("stones", models.PositiveSmallIntegerField(default=0)),
                ("proposed_at", models.DateTimeField(auto_now_add=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hours_entries",
                        to="coordinator.person",
                    ),
                ),
                (
                    "supervisor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="supervised_entries",
                        to="coordinator.person",
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="training.skill"
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "hours entries",
                "ordering": ["on", "block_number", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Countersign",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "decision",
                    models.CharField(
                        choices=[
                            ("confirmed", "confirmed"),
                            ("corrected", "corrected"),
                            ("refused", "refused"),
                        ],
                        max_length=10,
                    ),
                ),
                ("minutes", models.PositiveIntegerField()),
                ("stones", models.PositiveSmallIntegerField(default=0)),
                ("why", models.CharField(blank=True, max_length=250)),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="countersigned",
                        to="coordinator.person",
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="countersigns",
                        to="training.hoursentry",
                    ),
                ),
            ],
            options={
                "ordering": ["at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="SignOff",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "level",
                    models.CharField(
                        choices=[("signed_off", "signed off"), ("supervisor", "supervisor")],
                        max_length=12,
                    ),
                ),
                (
                    "cemetery_numbers",
                    models.JSONField(
                        blank=True, default=list, help_text="Empty: it holds at every cemetery."
                    ),
                ),
                ("on", models.DateField()),
                ("words", models.CharField(blank=True, max_length=250)),
                ("recorded_at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sign_offs_given",
                        to="coordinator.person",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sign_offs",
                        to="coordinator.person",
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="training.skill"
                    ),
                ),
            ],
            options={
                "ordering": ["on", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Revocation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("why", models.CharField(max_length=250)),
                ("recorded_at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "sign_off",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="revocation",
                        to="training.signoff",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="ClinicAttendance",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("day_number", models.PositiveIntegerField(blank=True, null=True)),
                ("cemetery_number", models.PositiveIntegerField(blank=True, null=True)),
                ("on", models.DateField()),
                ("recorded_at", models.DateTimeField(auto_now_add=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="clinics_attended",
                        to="coordinator.person",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="training.skill"
                    ),
                ),
            ],
            options={
                "ordering": ["on", "pk"],
            },
        ),
        migrations.AddConstraint(
            model_name="hoursentry",
            constraint=models.UniqueConstraint(
                fields=("person", "day_number", "block_number", "skill"), name="one_entry_a_block"
            ),
        ),
        migrations.AddConstraint(
            model_name="clinicattendance",
            constraint=models.UniqueConstraint(
                fields=("person", "skill", "on"), name="one_clinic_a_day"
            ),
        ),
    ]
