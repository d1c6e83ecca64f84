"""The app's colours and corners, as the server is told them."""

from edgetest.report.figures.plot_style import ACCENT, INK

# Contrasts (WCAG 2): ink on paper 15.8, accent on paper and white on accent 5.5, the lighter
# accent on dark 7.1, on a chosen button there 6.6; all above the 4.5 of level AA.
THEME = {
    "theme.baseFontSize": 17,
    "theme.buttonRadius": "0.4rem",
    "theme.baseRadius": "0.4rem",
    "theme.showWidgetBorder": "true",
    "theme.light.primaryColor": ACCENT,
    "theme.light.backgroundColor": "#ffffff",
    "theme.light.secondaryBackgroundColor": "#f4f5f6",
    "theme.light.textColor": INK,
    "theme.light.linkColor": ACCENT,
    "theme.dark.primaryColor": "#ec8a5f",
    "theme.dark.backgroundColor": "#14181b",
    "theme.dark.secondaryBackgroundColor": "#232a2f",
    "theme.dark.textColor": "#eef1f2",
    "theme.dark.linkColor": "#f0a27f",
}
