/* panel_sources.c - is everything that should speak speaking: sources, fix, log. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "view/aim.h"
#include "view/figures.h"
#include "view/panel.h"

enum { LINE_SIZE = 360 };

/* The source's name, and whether it speaks. */
static void put_status(char text[LINE_SIZE], const struct state_source *source)
{
    switch (source->status) {
    case SOURCE_DOWN:
        text_append(text, LINE_SIZE, _("%s DOWN"), source->name);
        break;
    case SOURCE_SILENT:
        text_append(text, LINE_SIZE, _("%s SILENT"), source->name);
        break;
    default:
        /* TRANSLATORS: a source of readings that speaks: "meter up" */
        text_append(text, LINE_SIZE, _("%s up"), source->name);
        break;
    }
}

/* "finder up, 10 a second, 3 bad lines" */
static enum ink describe_source(const struct panel_view *view, size_t i, bool with_why,
                                char text[LINE_SIZE])
{
    const struct state_source *source = &view->scene->state->sources[i];
    double t = view->t, rate = view->scene->history->sources[i].rate;
    char age[FIGURES_SIZE];
    bool ill = source->status == SOURCE_DOWN || source->status == SOURCE_SILENT;
    bool late = isfinite(source->last_t) && t - source->last_t > aim_old_s;

    text[0] = '\0';
    put_status(text, source);
    if (with_why && rate > 0.0 && !ill && !late) {
        text_append(text, LINE_SIZE, rate < 0.95 ? _(", one in %.0f s") : _(", %.0f a second"),
                    rate < 0.95 ? 1.0 / rate : rate);
    } else if (isfinite(source->last_t) && (with_why || ill || late)) {
        figures_age(age, t - source->last_t);
        text_append(text, LINE_SIZE, _(", last reading %s ago"), age);
    }
    if (source->bad > 0) {
        text_append(text, LINE_SIZE,
                    tongue_say_count(", %u bad line", ", %u bad lines", source->bad), source->bad);
    }
    if (with_why && source->why[0] && (ill || source->bad > 0)) {
        text_append(text, LINE_SIZE, ": %s", source->why);
    }
    return ill ? INK_BAD : late || source->bad > 0 ? INK_WARN : INK_PLAIN;
}

static enum ink describe_fix(const struct panel_view *view, char text[LINE_SIZE])
{
    const struct state *state = view->scene->state;
    char age[FIGURES_SIZE];

    text[0] = '\0';
    if (isnan(state->fix_t)) {
        text_append(text, LINE_SIZE, "%s",
                    state->site_from == SITE_JOB ? _("site from the job") : _("no position yet"));
        return state->site_from == SITE_JOB ? INK_PLAIN : INK_WARN;
    }
    if (state->fix.mode < 2) {
        text_append(text, LINE_SIZE, "%s", _("no fix"));
        return INK_WARN;
    }
    text_append(text, LINE_SIZE, _("fix %dD"), state->fix.mode);
    if (state->fix.satellites >= 0) {
        text_append(text, LINE_SIZE, _(", %d satellites"), state->fix.satellites);
    }
    if (isfinite(state->fix.error_m)) {
        text_append(text, LINE_SIZE, ", \u00b1%.0f m", ceil(state->fix.error_m));
    }
    if (view->t - state->fix_t > aim_old_s) {
        figures_age(age, view->t - state->fix_t);
        text_append(text, LINE_SIZE, _(", %s old"), age);
    }
    return INK_PLAIN;
}

/* All on one row: what is ill first, it must not be cut off. */
static void put_row(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    char text[LINE_SIZE];
    int col = 1;

    for (int ill = 1; ill >= 0; ill--) {
        for (size_t i = 0; i < state->source_count; i++) {
            enum ink ink = describe_source(view, i, false, text);
            if ((ink == INK_BAD) == (ill == 1)) {
                col = pane_put(pane, 0, col, ink, text) + 2;
            }
        }
    }
    pane_put(pane, 0, col, describe_fix(view, text), text);
}

void panel_sources(const struct pane *pane, const struct panel_view *view)
{
    const struct state *state = view->scene->state;
    char text[LINE_SIZE];
    int row = 0;

    if (pane->rows < 2) {
        put_row(pane, view);
        return;
    }
    for (size_t i = 0; i < state->source_count && row < pane->rows - 1; i++) {
        enum ink ink = describe_source(view, i, true, text);
        pane_put(pane, row++, 0, ink, text);
    }
    pane_put(pane, row, 0, describe_fix(view, text), text);
}
