"""The desk, one consultation at a glance, its steps in the order of the flow, its papers and pictures."""

from django.urls import path

from consult import hand_over, money_due, money_pages, papers, sending_pages, verify_page, views
from consult.client_pages import designs as client_designs
from consult.client_pages import entry as client_entry
from consult.client_pages import pay as client_pay
from consult.client_pages import sheet as client_sheet
from consult.inquiry import answering
from consult.inquiry import pages as inquiry
from consult.posting import pages as post
from consult.steps import (
    decorations,
    deposit,
    event,
    finishes,
    flavours,
    photos,
    servings,
    sheet,
    signing,
    tiers,
)

app_name = "consult"

urlpatterns = [
    path("", views.desk, name="desk"),
    path("post/", post.listed, name="post"),
    path("post/<int:pk>/", post.one, name="message"),
    path("post/<int:pk>/print/", post.printed, name="message_print"),
    path("post/<int:pk>/papers/<int:place>/", post.paper, name="message_paper"),
    path("consultations/new/", views.new, name="new"),
    path("consultations/<int:pk>/", views.overview, name="overview"),
    path("consultations/<int:pk>/event/", event.step, name="event"),
    path("consultations/<int:pk>/servings/", servings.step, name="servings"),
    path("consultations/<int:pk>/tiers/", tiers.step, name="tiers"),
    path("consultations/<int:pk>/flavours/", flavours.step, name="flavours"),
    path("consultations/<int:pk>/finishes/", finishes.step, name="finishes"),
    path("consultations/<int:pk>/decorations/", decorations.step, name="decorations"),
    path("consultations/<int:pk>/photos/", photos.step, name="photos"),
    path("consultations/<int:pk>/sheet/", sheet.step, name="sheet"),
    path("consultations/<int:pk>/signing/", signing.step, name="signing"),
    path("consultations/<int:pk>/deposit/", deposit.step, name="deposit"),
    path("money-due/", money_due.page, name="money_due"),
    path("consultations/<int:pk>/money/", money_pages.page, name="money"),
    path("consultations/<int:pk>/money/ask/", money_pages.ask_balance, name="ask_balance"),
    path("consultations/<int:pk>/money/receipt/", money_pages.make_receipt, name="make_receipt"),
    path("consultations/<int:pk>/money/refund/", money_pages.refund, name="refund"),
    path("consultations/<int:pk>/money/void/", money_pages.void, name="void"),
    path("consultations/<int:pk>/money/cancel/", money_pages.cancel, name="cancel"),
    path("consultations/<int:pk>/hand-over/", hand_over.start, name="hand_over"),
    path("consultations/<int:pk>/take-back/", hand_over.take_back, name="take_back"),
    path("consultations/<int:pk>/designs/", views.designs_of, name="designs"),
    path("consultations/<int:pk>/compare/", views.compare, name="compare"),
    path("consultations/<int:pk>/send/", sending_pages.send, name="send"),
    path("consultations/<int:pk>/revoke-link/", sending_pages.revoke, name="revoke_link"),
    path("consultations/<int:pk>/settle-remark/", sending_pages.settle, name="settle_remark"),
    path("consultations/<int:pk>/earnings/", views.earnings, name="earnings"),
    path("consultations/<int:pk>/prices/", views.prices, name="prices"),
    path("consultations/<int:pk>/decline/", views.decline, name="decline"),
    path("consultations/<int:pk>/revise/", views.revise, name="revise"),
    path("consultations/<int:pk>/record/", views.record, name="record"),
    path(
        "consultations/<int:pk>/papers/design-sheet-<int:revision>.pdf",
        papers.design_sheet,
        name="design_sheet",
    ),
    path(
        "consultations/<int:pk>/papers/deposit-request-<int:revision>.pdf",
        papers.deposit_request,
        name="deposit_request",
    ),
    path(
        "consultations/<int:pk>/hand-over.ics", post.hand_over_calendar, name="hand_over_calendar"
    ),
    path(
        "consultations/<int:pk>/papers/contract-<int:revision>.pdf",
        papers.contract,
        name="contract",
    ),
    path(
        "consultations/<int:pk>/papers/request-for-payment-<int:revision>-<int:place>.pdf",
        papers.balance_request,
        name="balance_request",
    ),
    path("consultations/<int:pk>/papers/receipt-<int:place>.pdf", papers.receipt, name="receipt"),
    path(
        "consultations/<int:pk>/papers/order-cancelled.pdf",
        papers.cancellation,
        name="cancellation",
    ),
    path("consultations/<int:pk>/papers/<slug:name>.pdf", papers.bench_paper, name="bench_paper"),
    path("consultations/<int:pk>/bench/", views.work, name="work"),
    path("consultations/<int:pk>/pictures/<str:sha256>.jpg", papers.picture, name="picture"),
    path("check-a-paper/", verify_page.check_a_paper, name="check_a_paper"),
    path("consultations/<int:pk>/answer-inquiry/", answering.answer_inquiry, name="answer_inquiry"),
    # what anybody opens
    path("inquire/", inquiry.inquire, name="inquire"),
    path("inquire/sent/", inquiry.sent, name="inquiry_sent"),
    path("inquire/pictures/<str:sha256>.jpg", inquiry.picture, name="inquiry_picture"),
    # what a client opens by a private link
    path("for-you/designs/", client_designs.designs, name="for_you_designs"),
    path("for-you/sheet/", client_sheet.sheet, name="for_you_sheet"),
    path("for-you/pay/", client_pay.pay, name="for_you_pay"),
    path("for-you/papers/<slug:name>.pdf", client_pay.paper, name="for_you_paper"),
    path("for-you/pictures/<str:sha256>.jpg", client_pay.picture, name="for_you_picture"),
    path("robots.txt", client_entry.robots, name="robots"),
    path("for-you/<str:token>/", client_entry.open_link, name="for_you"),
]
