"""Forms in our own crispy pack: labels, help and errors belong together."""

from django import forms
from django.template import Context, Template

from kit.web.sample import HomeForm


def rendered(form):
    return Template("{% load crispy_forms_tags %}{% crispy form %}").render(Context({"form": form}))


def test_a_wrong_field_is_named_first_and_linked():
    html = rendered(HomeForm({"test_temperature": "48"}))
    assert "4 things to correct" in html
    assert '<a href="#id_test_temperature">' in html
    assert html.index("error-summary") < html.index("<label")


def test_help_and_error_are_linked_to_their_field():
    html = rendered(HomeForm({"test_temperature": "48"}))
    assert 'aria-describedby="id_test_temperature_helptext id_test_temperature_error"' in html
    assert 'id="id_test_temperature_helptext"' in html
    assert 'id="id_test_temperature_error"' in html


def test_what_was_typed_is_still_there():
    assert 'value="48"' in rendered(HomeForm({"test_temperature": "48"}))


def test_a_field_that_must_be_filled_says_so_in_words():
    html = rendered(HomeForm())
    assert html.count("(required)") == 4


def test_choices_stand_in_a_fieldset_under_their_question():
    html = rendered(HomeForm())
    assert "<legend>Availability" in html
    assert html.count('type="radio"') == 3


def test_a_formset_shows_each_form_and_its_own_errors():
    formset_class = forms.formset_factory(HomeForm, extra=0)
    data = {"form-TOTAL_FORMS": "2", "form-INITIAL_FORMS": "0", "form-0-name": "Ada"}
    html = Template("{% load crispy_forms_filters %}{{ formset|crispy }}").render(
        Context({"formset": formset_class(data)})
    )
    assert 'name="form-TOTAL_FORMS"' in html
    assert html.count('class="form-part"') == 2
