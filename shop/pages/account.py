"""Whose log-in is this? Their name, and a new password."""

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.forms import PasswordChangeForm
from django.shortcuts import redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from shop.forms import form_helper


class NewPasswordForm(PasswordChangeForm):
    helper = form_helper(button="Change my password")

    def __init__(self, user, data=None):
        super().__init__(user, data)
        self.use_required_attribute = False
        self.fields["old_password"].label = "Password now"
        self.fields["new_password1"].label = "New password"
        self.fields[
            "new_password1"
        ].help_text = "At least 12 characters. A few plain words in a row are good."
        self.fields["new_password2"].label = "New password again"
        self.fields["new_password2"].help_text = ""


@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def account(request):
    form = NewPasswordForm(request.user, request.POST or None)
    if request.method == "POST" and form.is_valid():
        form.save()
        update_session_auth_hash(request, form.user)
        messages.success(request, "Your password is changed.")
        return redirect("account")
    return render(request, "shop/account.html", {"form": form}, status=422 if form.errors else 200)
