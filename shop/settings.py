"""How is the site set up? Everything has a default; what may be changed from outside is read through shop.env."""

from importlib.resources import files
from pathlib import Path
from zoneinfo import available_timezones

import dj_database_url
from csp.constants import NONE, SELF
from django.contrib.messages import constants as message_levels

from shop import env
from shop.data_folder import secret_key
from shop.mail_server import mail_server

ROOT = Path(__file__).resolve().parent.parent

# --- Where the data lives: one folder, so that one copy of it is a whole backup ---

DATA = Path(env.text("SHOP_DATA", str(ROOT / "data"))).expanduser().absolute()
MEDIA_ROOT = DATA / "media"  # never served as a folder; each file goes through a view that asks who
SECRET_KEY = env.secret("SHOP_SECRET_KEY") or secret_key(DATA)
SECRET_KEY_FALLBACKS = [key for key in [env.secret("SHOP_SECRET_KEY_BEFORE")] if key]

# --- Who may knock ---

DEBUG = env.flag("SHOP_DEBUG", default=False)
HTTPS = env.flag("SHOP_HTTPS", default=False)  # yes once people reach it by https
ALLOWED_HOSTS = env.words("SHOP_HOSTS", ("127.0.0.1", "localhost", "[::1]"))
CSRF_TRUSTED_ORIGINS = env.words("SHOP_ORIGINS")  # "https://…" where a proxy changes the host
# Begins the links in messages and on papers; `start` hands on the one it opens.
ADDRESS = env.address("SHOP_ADDRESS", "http://127.0.0.1:8000")

# --- What it is made of ---

INSTALLED_APPS = [
    "shop",
    "consult",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "axes",
    "crispy_forms",
    "csp",
    "django_htmx",
    "template_partials",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.middleware.gzip.GZipMiddleware",  # Django masks the form token anew in each page, against BREACH
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",  # closed unless a view says otherwise
    "shop.clock.ShopClock",
    "django.contrib.messages.middleware.MessageMiddleware",
    "consult.hand_over.HandedOver",  # after the log-in: it looks at who may go where
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",  # last: it answers when there were too many tries
]
ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [ROOT / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    }
]

# --- Database ---

# Commits survive a power cut (FULL); writers queue instead of failing (IMMEDIATE); overwritten words are
# really gone (secure_delete). Memory-mapped reading is off: with several processes that open and close
# connections it gives random "disk I/O error"s, so connections also stay open.
SQLITE = {
    "ENGINE": "django.db.backends.sqlite3",
    "NAME": DATA / "tierwright.sqlite3",
    "CONN_MAX_AGE": None,
    "OPTIONS": {
        "transaction_mode": "IMMEDIATE",
        "timeout": 20,  # seconds to wait for another writer (its queue is not fair); then a page says so
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; "
        "PRAGMA recursive_triggers=ON; PRAGMA secure_delete=ON; PRAGMA mmap_size=0; "
        "PRAGMA journal_size_limit=67108864",
    },
}
DATABASE_URL = env.secret("SHOP_DATABASE_URL")
DATABASES = {
    "default": dj_database_url.parse(DATABASE_URL, conn_max_age=600, conn_health_checks=True)
    if DATABASE_URL
    else SQLITE
}

# --- People ---

AUTH_USER_MODEL = "shop.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("email", "name")},
    },
]
LOGIN_URL = "log_in"
LOGIN_REDIRECT_URL = "front"
LOGOUT_REDIRECT_URL = "log_in"

AXES_FAILURE_LIMIT = 8
AXES_COOLOFF_TIME = 0.25  # hours
AXES_LOCKOUT_PARAMETERS = [
    ["username", "ip_address"]
]  # a stranger cannot lock the owner's tablet out
AXES_USERNAME_FORM_FIELD = (
    "username"  # else tries with no log-in form, at the counter, are counted under no name
)
AXES_USERNAME_CALLABLE = "shop.pages.log_in.address_tried"
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_CALLABLE = "shop.pages.log_in.too_many_tries"
AXES_VERBOSE = False

SESSION_COOKIE_AGE = 12 * 60 * 60  # a working day
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"  # Strict would log people out on the way in from an e-mail
SESSION_COOKIE_SECURE = HTTPS
SESSION_COOKIE_NAME = "__Host-session" if HTTPS else "session"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_NAME = "__Host-csrf" if HTTPS else "csrf"

# --- What a browser may do with our pages ---

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:", "blob:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "worker-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 63_072_000 if HTTPS else 0  # two years
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if env.flag("SHOP_BEHIND_PROXY", default=False) else None
)
SILENCED_SYSTEM_CHECKS = [
    "security.W021",  # preloading HSTS binds the shop's whole domain for years: the owner's choice
]

# --- Forms and files sent to us ---

CRISPY_TEMPLATE_PACK = "tierwright"
CRISPY_ALLOWED_TEMPLATE_PACKS = ("tierwright",)
CRISPY_FAIL_SILENTLY = False  # a misspelt field in a layout is an error
FORM_RENDERER = "django.forms.renderers.DjangoTemplates"

DATA_UPLOAD_MAX_MEMORY_SIZE = 2_621_440  # bytes of a form without its files
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000
DATA_UPLOAD_MAX_NUMBER_FILES = 12
FILE_UPLOAD_MAX_MEMORY_SIZE = 2_621_440  # larger ones go to a file while they arrive
FILE_UPLOAD_PERMISSIONS = 0o600
FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o700
MAX_PHOTO_BYTES = env.number("SHOP_MAX_PHOTO_MB", 40, least=1, most=200) * 1024 * 1024

# --- E-mail: by this server, or where none is set into the folder "post" of the data, to be read and printed ---

MAIL_SERVER = mail_server()
POST_FROM = env.text("SHOP_POST_FROM")  # the shop's own e-mail address where it is not set
POST_FOLDER = DATA / "post"

# --- Static files ---

STATIC_URL = "static/"
STATIC_ROOT = Path(env.text("SHOP_STATIC", str(DATA / "static"))).absolute()
STATICFILES_DIRS = [
    ROOT / "static",
    ("fonts/sans", str(files("font_source_sans_pro") / "files")),
    ("fonts/serif", str(files("font_source_serif_pro") / "files")),
]
STORAGES = {
    "default": {"BACKEND": "shop.storage.DurableStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

WHITENOISE_KEEP_ONLY_HASHED_FILES = True  # pages never ask for the others; half the work of packing

# --- Language and time ---

LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = env.text("SHOP_TIME_ZONE", "UTC")
if TIME_ZONE not in available_timezones():
    raise env.WrongSetting(f"SHOP_TIME_ZONE must be a name like Europe/Lisbon, not {TIME_ZONE!r}.")

# --- What is said to the owner's terminal ---

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "filters": {"tokens covered": {"()": "shop.log_words.TokensCovered"}},
    "handlers": {
        "console": {
            "class": "logging.StreamHandler",
            "formatter": "plain",
            "filters": ["tokens covered"],
        }
    },
    "root": {"handlers": ["console"], "level": env.text("SHOP_LOG_LEVEL", "WARNING").upper()},
    "loggers": {
        "django": {"handlers": [], "level": "NOTSET", "propagate": True},
        "axes": {"handlers": [], "level": "WARNING", "propagate": True},
    },
}
MESSAGE_TAGS = {
    message_levels.INFO: "info",
    message_levels.SUCCESS: "ok",
    message_levels.WARNING: "warn",
    message_levels.ERROR: "bad",
}
