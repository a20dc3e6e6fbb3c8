"""What do people type, by accident or on purpose, that breaks software? Our own list."""

NUL = "\x00"

LEADS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1+1", "'=1", '"=1"']
MARKUP = [
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", '"><svg onload=alert(1)>',
    "' onmouseover='alert(1)", "javascript:alert(1)", "</textarea><script>alert(1)</script>",
    "</title><b>x", "<!--", "]]>", "<![CDATA[x]]>", "<para>x</para>", "<b>half open", "&lt;b&gt;", "&amp;",
    "&#60;script&#62;", "<font color=red>x</font>", "<a href='x'>y</a>", "<br/>", "<", ">", "&", "<<>>",
    "{{ 7|add:7 }}", "{% include 'shop/people.html' %}", "{{ at.row.pk }}", "{% csrf_token %}", "${7*7}", "#{7*7}",
    "%s %d %n", "%(name)s", "{0}", "{name!r}", "\\u0041", "\\x41", "\\", "\\\\", "`id`", "$(id)", "; rm -rf x",
]  # fmt: skip
QUERIES = [
    "' OR '1'='1",
    "'; DROP TABLE consult_sheet; --",
    '" OR ""="',
    "1; SELECT 1",
    "%",
    "_",
    "%27",
    "--",
]
PATHS = [
    "../../etc/passwd",
    "..\\..\\x",
    "/etc/passwd",
    "C:\\x",
    "file:///etc/passwd",
    "CON",
    "x\u2215y",
]
LINES = [
    "a\r\nSet-Cookie: x=1",
    "a\nb",
    "a\rb",
    "a\x0bb",
    "a\x0cb",
    "a\x85b",
    "a\u2028b",
    "a\u2029b",
    " ",
    "\t",
    "\u3000",
]
CONTROLS = [
    "\x01\x02\x1f",
    "\x7f",
    "\x1b[31m",
    "\x08",
    "\x9f",
    "\ufeffx",
    "\ufffe",
    "\uffff",
    "\ue000",
]
SCRIPTS = [
    "أميرة الحسن", "דָּוִד לוי", "שלום 123 abc", "李小龙", "山田 太郎", "김민지", "สมชาย ใจดี", "अनन्या", "Дмитрий", "Ωμέγα",
    "Zoë Ångström", "Nguyễn Thị Ánh", "İstanbul ı", "Straße", "\ufb01nch", "O’Brien-Łukasz",
]  # fmt: skip
MARKS = [
    "\u202eevil\u202c", "\u2066a\u2067b\u2069\u2069", "\u200bzero\u200dwidth\u200c", "a\u00adb", "\u200e\u200f",
    "Z\u0351\u036b\u0343\u036a\u0302\u036b\u033d\u034f\u0334\u0319\u0324a\u0301" + "\u0300" * 60, "e\u0301 é",
    "👩🏽‍🍳", "🏳️‍🌈", "🎂" * 20, "\U0001f9c1", "\U0010fffd", "𝓐𝓷𝓷", "\U000e0041",
]  # fmt: skip
LONG = ["x" * 119, "x" * 200, "x" * 201, "x" * 10_000, "word " * 2_000, "é" * 255, "🎂" * 5_000]
NUMBERS = [
    "NaN",
    "Infinity",
    "-1",
    "0",
    "1e308",
    "9" * 30,
    "0x1F",
    "1_000",
    "٣",
    "²",
    "½",
    "1,2,3",
    "--1",
    "true",
    "null",
]

NAUGHTY = [*LEADS, *MARKUP, *QUERIES, *PATHS, *LINES, *CONTROLS, *SCRIPTS, *MARKS, *LONG, *NUMBERS]
WITH_NUL = [NUL, f"Ann{NUL}Okafor", f"{NUL}<script>"]
