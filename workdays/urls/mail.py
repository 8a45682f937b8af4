"""Addresses of the mail that was sent, for organisers."""

from django.urls import path

from workdays.views import kept_mail

urlpatterns = [
    path("mail/", kept_mail.mail, name="mail"),
    path("mail/<int:pk>/", kept_mail.mail_message, name="mail_message"),
    path("mail/<int:pk>/html/", kept_mail.mail_html, name="mail_html"),
]
