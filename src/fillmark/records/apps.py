from django.apps import AppConfig


class RecordsConfig(AppConfig):
    name = "fillmark.records"
    label = "records"
