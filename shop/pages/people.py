"""Who works here: the owner takes people on, says what they may see, and lets them go."""

from django import forms
from django.contrib import messages
from django.contrib.auth.password_validation import validate_password
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop import finding
from shop.access import owner_only
from shop.actions import Refused, change_person, give_new_password, let_go, take_back, take_on
from shop.forms import form_helper
from shop.models import Person
from shop.models.person import Role

ROLES = [
    (Role.STAFF.value, "Staff: consultations, without cost and margin"),
    (Role.OWNER.value, "Owner: everything"),
]


def _role_field():
    return forms.ChoiceField(label="May see", choices=ROLES, widget=forms.RadioSelect)


def _password_field(label, *, required=True, help_text="At least 12 characters."):
    return forms.CharField(
        label=label,
        required=required,
        strip=False,
        help_text=help_text,
        widget=forms.PasswordInput({"autocomplete": "new-password"}),
    )


class NewPersonForm(forms.Form):
    name = forms.CharField(label="Name", max_length=120)
    email = forms.EmailField(label="E-mail", help_text="They log in with it.")
    role = _role_field()
    password = _password_field("First password")
    helper = form_helper(button="Take on")

    def clean_password(self):
        password = self.cleaned_data["password"]
        validate_password(password, Person(email=self.cleaned_data.get("email", "")))
        return password


class PersonForm(forms.Form):
    name = forms.CharField(label="Name", max_length=120)
    role = _role_field()
    password = _password_field(
        "New password", required=False, help_text="Left empty: they keep the one they have."
    )
    helper = form_helper(button="Save")

    def __init__(self, data=None, *, person):
        super().__init__(data, initial={"name": person.name, "role": person.role})
        self.person = person

    def clean_password(self):
        password = self.cleaned_data["password"]
        if password:
            validate_password(password, self.person)
        return password


@owner_only
@require_http_methods(["GET"])
def people(request):
    here, left = finding.people()
    return render(
        request, "shop/people.html", {"here": "shop_people", "working": here, "left": left}
    )


def _edited(request, form, person=None):
    context = {"here": "shop_people", "form": form, "person": person}
    return render(request, "shop/person.html", context, status=422 if form.errors else 200)


@sensitive_post_parameters("password")
@owner_only
@require_http_methods(["GET", "POST"])
def add_person(request):
    form = NewPersonForm(request.POST or None, initial={"role": Role.STAFF.value})
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            person = take_on(
                said["email"], name=said["name"], role=said["role"], password=said["password"]
            )
        except Refused as refusal:
            form.add_error("email", str(refusal))
        else:
            messages.success(request, f"{person} can log in now.")
            return redirect("shop_people")
    return _edited(request, form)


@sensitive_post_parameters("password")
@owner_only
@require_http_methods(["GET", "POST"])
def person(request, pk):
    person = get_object_or_404(Person, pk=pk)
    form = PersonForm(request.POST or None, person=person)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            change_person(person, name=said["name"], role=said["role"])
        except Refused as refusal:
            form.add_error("role", str(refusal))
        else:
            if said["password"]:
                give_new_password(person, password=said["password"])
            messages.success(request, f"{person} is saved.")
            return redirect("shop_people")
    return _edited(request, form, person)


@owner_only
@require_POST
def let_person_go(request, pk):
    person = get_object_or_404(Person, pk=pk)
    try:
        let_go(person)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"{person} cannot log in any more.")
    return redirect("shop_people")


@owner_only
@require_POST
def take_person_back(request, pk):
    person = get_object_or_404(Person, pk=pk)
    take_back(person)
    messages.success(request, f"{person} works here again.")
    return redirect("shop_people")
