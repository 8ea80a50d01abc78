"""The first set-up and the new password, each with a one-time code."""

from collections.abc import Iterable
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.validators import MinValueValidator

from vessel.actions.first_set_up import Particulars
from vessel.forms.plain import PlainForm

NOT_PLACES = ("Etc/", "SystemV/", "US/", "posix", "right", "Brazil/", "Canada/", "Chile/", "Mexico/")


Choice = tuple[str, str]


def zone_choices(used: Iterable[str] = ()) -> list[tuple[str, str | list[Choice]]]:
    """Every zone named after a place, and UTC, by the part of the world; first those `used` aboard, then their parts."""
    places = sorted(zone for zone in available_timezones() if "/" in zone and not zone.startswith(NOT_PLACES))
    own = [zone for zone in dict.fromkeys(used) if zone in places]
    near = {zone.split("/")[0] for zone in own}
    parts = sorted({zone.split("/")[0] for zone in places}, key=lambda part: (part not in near, part))
    groups: list[tuple[str, str | list[Choice]]] = [
        (part, [_choice(zone) for zone in places if zone.split("/")[0] == part and zone not in own]) for part in parts
    ]
    first: list[tuple[str, str | list[Choice]]] = [("", "Choose"), ("UTC", "UTC")]
    return [*first, *([("Used aboard", [_choice(zone) for zone in own])] if own else []), *groups]


def _choice(zone: str) -> Choice:
    return zone, zone.replace("_", " ")


class PasswordForm(PlainForm):
    """Code, sign-in name and password."""

    code = forms.CharField(
        label="One-time code",
        help_text="Printed where Legworthy was started, like 7K3M-Q2XW-9PRD. It works once.",
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "one-time-code", "autocapitalize": "characters"}),
    )
    username = forms.CharField(
        label="Your sign-in name",
        max_length=150,
        validators=[User.username_validator],
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
    )
    password = forms.CharField(
        label="Your password",
        help_text="At least 12 letters or signs; a few words in a row are easy to keep.",
        max_length=128,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password, User(username=self.cleaned_data.get("username", "")))
        return password


class SetUpForm(PasswordForm):
    """The same, and the few particulars of the vessel that are asked first."""

    name = forms.CharField(label="The boat's name", max_length=80)
    home_port = forms.CharField(label="Home harbour", max_length=80, required=False)
    home_zone = forms.ChoiceField(label="Time zone of the home harbour", choices=zone_choices)
    loa_m = forms.FloatField(label="Length overall, m", required=False, validators=[MinValueValidator(1)])
    beam_m = forms.FloatField(label="Beam, m", required=False, validators=[MinValueValidator(0.5)])
    draught_m = forms.FloatField(label="Draught, m", required=False, validators=[MinValueValidator(0.1)])
    air_draught_m = forms.FloatField(
        label="Air draught, all up, m", required=False, validators=[MinValueValidator(0.5)]
    )

    starting_list = forms.BooleanField(
        label="Begin with a list of equipment, functions and services of a small motor vessel",
        help_text="Each line can be changed or taken away.",
        required=False,
        initial=True,
    )

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        if User.objects.filter(username=username).exists():
            raise forms.ValidationError("This name is taken. Choose another.")
        return username

    def particulars(self) -> Particulars:
        """What was typed about the vessel."""
        names = ("name", "home_port", "home_zone", "loa_m", "beam_m", "draught_m", "air_draught_m")
        return Particulars(**{name: self.cleaned_data[name] for name in names})
