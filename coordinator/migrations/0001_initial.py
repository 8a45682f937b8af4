import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import coordinator.models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
    ]

    operations = [
        migrations.CreateModel(
            name="Heartbeat",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40, unique=True)),
                ("at", models.DateTimeField()),
            ],
        ),
        migrations.CreateModel(
            name="User",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                (
                    "is_superuser",
                    models.BooleanField(
                        default=False,
                        help_text="Designates that this user has all permissions without explicitly assigning them.",
                        verbose_name="superuser status",
                    ),
                ),
                ("email", models.EmailField(max_length=254, unique=True)),
                ("is_active", models.BooleanField(default=True)),
                ("is_staff", models.BooleanField(default=False)),
                ("joined_at", models.DateTimeField(auto_now_add=True)),
                (
                    "groups",
                    models.ManyToManyField(
                        blank=True,
                        help_text="The groups this user belongs to. A user will get all permissions granted to each of their groups.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.group",
                        verbose_name="groups",
                    ),
                ),
                (
                    "user_permissions",
                    models.ManyToManyField(
                        blank=True,
                        help_text="Specific permissions for this user.",
                        related_name="user_set",
                        related_query_name="user",
                        to="auth.permission",
                        verbose_name="user permissions",
                    ),
                ),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="Person",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("email", models.EmailField(blank=True, db_index=True, max_length=254)),
                ("telephone", models.CharField(blank=True, max_length=40)),
                ("emergency_name", models.CharField(blank=True, max_length=120)),
                ("emergency_telephone", models.CharField(blank=True, max_length=40)),
                ("born_on", models.DateField(blank=True, null=True)),
                ("is_adult", models.BooleanField(default=True)),
                ("may_lead", models.BooleanField(default=False)),
                ("is_conservator", models.BooleanField(default=False)),
                ("languages", models.JSONField(default=coordinator.models.english)),
                (
                    "secret",
                    models.CharField(
                        default=coordinator.models.new_secret, max_length=64, unique=True
                    ),
                ),
                ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("erased_at", models.DateTimeField(blank=True, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                (
                    "joined_into",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="joined_from",
                        to="coordinator.person",
                    ),
                ),
                (
                    "user",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="person",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "people",
                "ordering": ["name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="AuditEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("at", models.DateTimeField(auto_now_add=True, db_index=True)),
                (
                    "actor_kind",
                    models.CharField(
                        choices=[
                            ("login", "a person by log-in"),
                            ("link", "a person by link"),
                            ("rule", "the service by rule"),
                        ],
                        max_length=8,
                    ),
                ),
                ("rule", models.CharField(blank=True, max_length=60)),
                ("verb", models.CharField(max_length=40)),
                ("thing_type", models.CharField(max_length=60)),
                ("thing_id", models.CharField(max_length=40)),
                ("detail", models.JSONField(default=dict)),
                (
                    "actor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="acts",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "audit entries",
                "ordering": ["-at", "-pk"],
                "indexes": [models.Index(fields=["thing_type", "thing_id"], name="audit_thing")],
            },
        ),
        migrations.CreateModel(
            name="SentMessage",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=160, unique=True)),
                ("reason", models.CharField(max_length=60)),
                ("to_address", models.EmailField(max_length=254)),
                ("subject", models.CharField(max_length=250)),
                ("text", models.TextField()),
                ("html", models.TextField(blank=True)),
                ("calendar", models.BinaryField(blank=True, null=True)),
                ("calendar_method", models.CharField(blank=True, max_length=10)),
                ("thread", models.CharField(blank=True, db_index=True, max_length=80)),
                ("message_id", models.CharField(max_length=200, unique=True)),
                ("references", models.TextField(blank=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("queued", "queued"),
                            ("claimed", "being sent"),
                            ("sent", "sent"),
                            ("failed", "not deliverable"),
                        ],
                        default="queued",
                        max_length=8,
                    ),
                ),
                ("tries", models.PositiveSmallIntegerField(default=0)),
                ("not_before", models.DateTimeField(blank=True, null=True)),
                ("claimed_at", models.DateTimeField(blank=True, null=True)),
                ("sent_at", models.DateTimeField(blank=True, null=True)),
                ("last_error", models.CharField(blank=True, max_length=250)),
                ("queued_at", models.DateTimeField(auto_now_add=True, db_index=True)),
                (
                    "person",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="messages",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "indexes": [models.Index(fields=["state", "not_before"], name="message_due")],
            },
        ),
    ]
