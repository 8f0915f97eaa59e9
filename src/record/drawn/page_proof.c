/* page_proof.c - what ties the record to its log, and room for those who answer for it. */
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/page.h"
#include "record/drawn/words.h"

static double put_log(struct page *page, double x, double y, double width)
{
    const struct handover *h = page->handover;
    const char *slash = strrchr(h->log.path, '/');
    char text[2 * WORDS_SIZE] = "";
    double top = y;

    text_append(text, sizeof text, _("Log %s: %llu bytes, %lu records, written by %s. "),
                slash ? slash + 1 : h->log.path, (unsigned long long)h->log.bytes, h->log.records,
                h->log.software[0] ? h->log.software : _("a version that it does not name"));
    text_append(text, sizeof text, _("This record: %s."), h->software);
    y += paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x, y, width, 2, text);
    snprintf(text, sizeof text, "SHA-256 %s", h->log.sha256[0] ? h->log.sha256 : _("not computed"));
    y += paper_text(page->paper, STYLE_FIXED, PEN_DARK, ALIGN_LEFT, x, y, width, 2, text);
    y += paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, x, y, width, 1,
                    _("Local codes and licensed practice decide what may be done on a site; this "
                      "page does not."));
    return y - top;
}

static double put_signature(struct page *page, double x, double y, double width, const char *who)
{
    static const double rule = 20.0;
    static const struct {
        const char *what;
        double share;
    } fields[] = {{N_("name"), 0.38}, {N_("date"), 0.2}, {N_("signature"), 0.42}};
    double left = x, top = y;

    y += paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, x, y, width, 1, who) + rule;
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        double part = fields[i].share * width - table_gap;
        paper_line(page->paper, PEN_DARK, 0.6, false, left, y, left + part, y);
        paper_text(page->paper, STYLE_SMALL, PEN_SOFT, ALIGN_LEFT, left, y + 1.0, part, 1,
                   _(fields[i].what));
        left += part + table_gap;
    }
    return y + 1.0 + paper_line_height(page->paper, STYLE_SMALL) - top;
}

double page_proof(struct page *page, double x, double y, double width)
{
    static const double gap = 14.0;
    bool installed = page->handover->kind == HANDOVER_INSTALL;
    double half = 0.5 * (width - gap), top = y;

    paper_line(page->paper, PEN_DARK, 0.6, false, x, y, x + width, y);
    y += 3.0;
    y += put_log(page, x, y, width) + 5.0;
    put_signature(page, x, y, half, installed ? _("Pointed by") : _("Done by"));
    y +=
        put_signature(page, x + half + gap, y, half, installed ? _("Taken over by") : _("Seen by"));
    return y - top;
}
