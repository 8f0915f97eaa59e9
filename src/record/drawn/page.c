#include "record/drawn/page.h"

#include <math.h>

#include "base/text.h"
#include "base/tongue.h"
#include "record/drawn/words.h"

#define SIDE_MM 14.0

static const double side = SIDE_MM * PAPER_MM, width = PAPER_WIDTH - 2.0 * SIDE_MM * PAPER_MM,
                    upper = 11.0 * PAPER_MM, lower = 10.0 * PAPER_MM, apart = 7.0;

/* The share of the page's width that the angles' table takes. */
static const double angles_share = 0.565;

/* Heights: of the pictures at least, and where more shows no more, or that there is none; of the
 * lists under them at least. */
static const double least_lobes = 112.0, most_lobes = 190.0, least_trend = 72.0, most_trend = 140.0,
                    least_work = 56.0, no_picture = 62.0;

const char *page_name(const struct handover *handover)
{
    return handover->job->site.name[0] ? handover->job->site.name : job_target_name(handover->job);
}

static double least_pictures(void)
{
    return least_lobes + least_trend + 2.0 * apart;
}

static double put_figures(struct page *page, double y)
{
    double left = angles_share * (width - 2.0 * apart), right = width - 2.0 * apart - left;
    double angles = page_angles(page, side, y, left);

    return fmax(angles, page_level(page, side + left + 2.0 * apart, y, right));
}

/* The heights that parts would take. */
static double work_height(struct page *page)
{
    double height;

    paper_rehearse_begin(page->paper);
    height = page_work(page, (struct paper_box){side, 0.0, width, PAPER_HEIGHT});
    paper_rehearse_end(page->paper);
    return height;
}

static double proof_height(struct page *page)
{
    double height;

    paper_rehearse_begin(page->paper);
    height = page_proof(page, side, 0.0, width);
    paper_rehearse_end(page->paper);
    return height;
}

static double figures_height(struct page *page)
{
    double height;

    paper_rehearse_begin(page->paper);
    height = put_figures(page, 0.0);
    paper_rehearse_end(page->paper);
    return height;
}

/*
 * The pictures and the lists share what is left: the lists what they need, as far as the pictures
 * keep their least size; the pictures the rest.
 */
static void put_pictures(struct page *page, double y, double bottom)
{
    double spare = fmax(bottom - y - least_pictures() - work_height(page), 0.0);
    double lobes = fmin(least_lobes + 0.6 * spare, most_lobes);
    double trend = fmin(least_trend + 0.4 * spare, most_trend);

    lobes = page_has_lobes(page->handover) ? lobes : no_picture;
    trend = page_has_trend(page->handover) ? trend : no_picture;

    page_lobes(page, (struct paper_box){side, y, width, lobes});
    y += lobes + apart;
    page_trend(page, (struct paper_box){side, y, width, trend});
    y += trend + apart;
    page_work(page, (struct paper_box){side, y, width, bottom - y});
}

static double put_running_head(struct page *page, double y)
{
    char text[WORDS_SIZE] = "";
    double height;

    text_append(text, sizeof text, _("%s of %s, second page. SHA-256 of the log: %s"),
                page_title(page->handover), page_name(page->handover),
                page->handover->log.sha256[0] ? page->handover->log.sha256 : _("not computed"));
    height = paper_text(page->paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, side, y, width, 2, text);
    paper_line(page->paper, PEN_DARK, 1.0, false, side, y + height + 1.0, side + width,
               y + height + 1.0);
    return height + 1.0;
}

void page_put(struct page *page, struct paper *paper, const struct handover *handover)
{
    double y = upper, bottom, room, work;

    page->paper = paper;
    page->handover = handover;
    paper_start_page(paper, page_name(handover));
    y += page_head(page, side, y, width) + apart;
    bottom = PAPER_HEIGHT - lower - proof_height(page);
    page_proof(page, side, bottom, width);
    bottom -= apart;
    if (handover->kind == HANDOVER_QUIZ) {
        page_work(page, (struct paper_box){side, y, width, bottom - y});
        paper_end_page(paper);
        return;
    }
    room = bottom - y - figures_height(page) - 2.0 * apart;
    work = work_height(page);
    y += page_judgement(page, side, y, width, room - least_pictures() - work, room) + apart;
    y += put_figures(page, y) + apart;
    if (bottom - y < least_pictures() + fmin(least_work, work)) {
        paper_text(paper, STYLE_SMALL, PEN_DARK, ALIGN_LEFT, side, y, width, 1,
                   _("The pictures, the tightening and the notes are on the second page."));
        paper_end_page(paper);
        paper_start_page(paper, page_name(handover));
        y = upper + put_running_head(page, upper) + apart;
        bottom = PAPER_HEIGHT - lower;
    }
    put_pictures(page, y, bottom);
    paper_end_page(paper);
}
