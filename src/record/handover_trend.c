#include "record/handover_trend.h"

#include <math.h>

static const double first_piece_s = 0.5;
static const struct handover_piece nothing = {NAN, NAN, NAN};

void handover_trend_init(struct handover_trend *trend)
{
    *trend = (struct handover_trend){.piece_s = first_piece_s};
}

static struct handover_piece join(const struct handover_piece *a, const struct handover_piece *b)
{
    return (struct handover_piece){
        .low = fminf(a->low, b->low),
        .high = fmaxf(a->high, b->high),
        .filtered = isfinite(b->filtered) ? b->filtered : a->filtered,
    };
}

static void halve(struct handover_trend *trend)
{
    for (int i = 0; i < trend->count; i += 2) {
        trend->pieces[i / 2] =
            join(&trend->pieces[i], i + 1 < trend->count ? &trend->pieces[i + 1] : &nothing);
    }
    trend->count = (trend->count + 1) / 2;
    trend->piece_s *= 2.0;
}

void handover_trend_add(struct handover_trend *trend, double t, double level, double filtered)
{
    struct handover_piece one = {(float)level, (float)level, (float)filtered};
    int at;

    while (t / trend->piece_s >= HANDOVER_TREND) {
        halve(trend);
    }
    at = (int)(t / trend->piece_s);
    while (trend->count <= at) {
        trend->pieces[trend->count++] = nothing;
    }
    trend->pieces[at] = join(&trend->pieces[at], &one);
}

void handover_trend_mark(struct handover_trend *trend, double t, int step)
{
    if (trend->mark_count == HANDOVER_MARKS) {
        trend->marks_lost++;
        return;
    }
    trend->marks[trend->mark_count].t = t;
    trend->marks[trend->mark_count++].step = step;
}
