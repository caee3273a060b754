from django.urls import path

from agreements.views import agreements, imports

app_name = "agreements"
urlpatterns = [
    path("", agreements.agreements, name="list"),
    path("new/<int:home_pk>/", agreements.new_agreement, name="new"),
    path("<int:pk>/renew/", agreements.renew, name="renew"),
    path("import/", imports.start, name="import"),
    path("import/<int:pk>/columns/", imports.columns, name="import-columns"),
    path("import/<int:pk>/", imports.check, name="import-check"),
    path("import/<int:pk>/answers/", imports.decide, name="import-decide"),
    path("import/<int:pk>/bring-in/", imports.bring_in, name="import-bring-in"),
    path("import/<int:pk>/rows-to-correct.csv", imports.refused, name="import-refused"),
]
