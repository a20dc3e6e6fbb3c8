"""Who is at the counter? Logging in and out."""

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.shortcuts import render
from django.views.decorators.cache import never_cache

from shop.forms import form_helper
from shop.models import Person


class LogInForm(AuthenticationForm):
    """E-mail and password. Paste and password managers are welcome."""

    error_messages = {
        "invalid_login": "This e-mail and password do not belong together. "
        "Check both and try again; capital letters count in the password.",
        "inactive": "This person no longer works here.",
    }
    helper = form_helper(button="Log in")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, use_required_attribute=False, **kwargs)
        self.fields["username"] = forms.EmailField(
            label="E-mail",
            widget=forms.EmailInput(
                attrs={"autocomplete": "username", "autocapitalize": "none", "spellcheck": "false"}
            ),
            error_messages={
                "required": "Type the e-mail address you log in with.",
                "invalid": "Type an e-mail address like name@example.org.",
            },
        )
        self.fields["password"].widget.attrs["autocomplete"] = "current-password"
        self.fields["password"].error_messages["required"] = "Type your password."


class LogIn(LoginView):
    form_class = LogInForm
    template_name = "shop/log_in.html"
    redirect_authenticated_user = True

    def form_invalid(self, form):
        return self.render_to_response(self.get_context_data(form=form), status=422)


log_in = LogIn.as_view()
log_out = LogoutView.as_view()


def address_tried(request, credentials=None):
    """Whose log-in is being tried, however its letters are written: tries are counted by this."""
    said = (credentials or {}).get("username") or request.POST.get("username", "")
    return Person.objects.written(said)[:255]


@never_cache
def too_many_tries(request, response=None, credentials=None):
    """What is said after too many wrong passwords in a row."""
    return render(request, "shop/too_many_tries.html", status=429)
