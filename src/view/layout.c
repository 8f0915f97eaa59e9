#include "view/layout.h"

#include <stdbool.h>
#include <string.h>

enum { MOST_PLACES = 16 };

const int layout_least_rows = 12, layout_least_cols = 40;

static const struct layout_place wide[] = {
    {PANEL_HEAD, 0, 1, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_TURN, 1, 1, {5, 8}, {62, LAYOUT_GROWS}},
    {PANEL_LEVEL, 1, 2, {5, 8}, {40, 48}},
    {PANEL_SATELLITE, 2, 3, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 3, 2, {4, 8}, {62, LAYOUT_GROWS}},
    {PANEL_STEPS, 3, 6, {3, 8}, {36, 62}},
    {PANEL_RULER, 4, 4, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_AIM, 5, 4, {4, 5}, {80, LAYOUT_GROWS}},
    {PANEL_SOURCES, 5, 5, {2, 5}, {30, 50}},
    {PANEL_GRAPH, 6, 6, {7, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_SIDE, 6, 7, {7, LAYOUT_GROWS}, {50, LAYOUT_GROWS}},
    {PANEL_THIRD, 7, 7, {6, LAYOUT_GROWS}, {60, LAYOUT_GROWS}},
    {PANEL_NOTES, 7, 8, {1, LAYOUT_GROWS}, {36, 50}},
    {PANEL_WHOLE, 8, 5, {1, 1}, {40, LAYOUT_GROWS}, LAYOUT_REPLAY},
    {PANEL_KEYS, 9, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

static const struct layout_place standard[] = {
    {PANEL_HEAD, 0, 1, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_TURN, 1, 1, {5, 5}, {40, LAYOUT_GROWS}},
    {PANEL_LEVEL, 1, 2, {2, 5}, {30, 38}},
    {PANEL_SATELLITE, 2, 3, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 3, 2, {2, 3}, {40, LAYOUT_GROWS}},
    {PANEL_RULER, 4, 5, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_AIM, 5, 4, {4, 4}, {70, LAYOUT_GROWS}},
    {PANEL_GRAPH, 6, 6, {4, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_SOURCES, 7, 5, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_WHOLE, 8, 5, {1, 1}, {40, LAYOUT_GROWS}, LAYOUT_REPLAY},
    {PANEL_KEYS, 9, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

static const struct layout_place narrow[] = {
    {PANEL_HEAD, 0, 1, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_TURN, 1, 1, {4, 5}, {40, LAYOUT_GROWS}},
    {PANEL_LEVEL, 2, 2, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_SATELLITE, 3, 4, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 4, 3, {3, 5}, {40, LAYOUT_GROWS}},
    {PANEL_RULER, 5, 8, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_AIM, 6, 5, {3, 3}, {40, LAYOUT_GROWS}},
    {PANEL_GRAPH, 7, 7, {3, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_SOURCES, 8, 6, {1, 1}, {40, LAYOUT_GROWS}, LAYOUT_LIVE},
    {PANEL_WHOLE, 8, 6, {1, 1}, {40, LAYOUT_GROWS}, LAYOUT_REPLAY},
    {PANEL_KEYS, 9, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

/* From the mount: the way, how far, how the level stands; the rest only as words. */
static const struct layout_place from_afar[] = {
    {PANEL_TURN, 0, 1, {4, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_RULER, 1, 5, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_LEVEL, 2, 2, {2, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_SATELLITE, 3, 3, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 4, 2, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_KEYS, 5, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

/* On a phone a sentence takes two lines. */
static const struct layout_place from_afar_narrow[] = {
    {PANEL_TURN, 0, 1, {4, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_RULER, 1, 5, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_LEVEL, 2, 2, {2, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_SATELLITE, 3, 3, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 4, 2, {1, 2}, {40, LAYOUT_GROWS}},
    {PANEL_KEYS, 5, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

static const struct layout_place to_be_read[] = {
    {PANEL_HEAD, 0, 1, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_TURN, 1, 5, {4, 5}, {40, LAYOUT_GROWS}},
    {PANEL_COACH, 2, 2, {9, LAYOUT_GROWS}, {40, LAYOUT_GROWS}},
    {PANEL_LEVEL, 3, 3, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_SOURCES, 4, 4, {1, 1}, {40, LAYOUT_GROWS}},
    {PANEL_KEYS, 5, 1, {1, 1}, {40, LAYOUT_GROWS}},
};

#define PLACES(list) list, sizeof list / sizeof *(list)

/* Tried in this order. */
static const struct layout layouts[] = {
    {"wide", 34, 110, PLACES(wide)},
    {"standard", 14, 72, PLACES(standard)},
    {"narrow", 12, 40, PLACES(narrow)},
};
static const struct layout far_layouts[] = {
    {"far", 12, 72, PLACES(from_afar)},
    {"far narrow", 12, 40, PLACES(from_afar_narrow)},
};
static const struct layout read_layout = {"read", 12, 40, PLACES(to_be_read)};

const struct layout *layout_choose(int rows, int cols, enum layout_use use)
{
    if (rows < layout_least_rows || cols < layout_least_cols) {
        return NULL;
    }
    if (use != LAYOUT_NEAR) {
        return use == LAYOUT_FAR ? &far_layouts[cols < far_layouts[0].cols] : &read_layout;
    }
    for (size_t i = 0; i < sizeof layouts / sizeof *layouts; i++) {
        if (rows >= layouts[i].rows && cols >= layouts[i].cols) {
            return &layouts[i];
        }
    }
    return NULL;
}

bool layout_reads(int rows, int cols)
{
    return layout_choose(rows, cols, LAYOUT_NEAR) == &layouts[0];
}

/* One of several that share a length. */
struct share {
    struct layout_need need;
    int rank;
    bool kept;
    int got;
};

static bool grows(const struct share *share)
{
    return share->kept && share->need.most >= LAYOUT_GROWS;
}

static int count_growing(const struct share *shares, int count)
{
    int growing = 0;

    for (int i = 0; i < count; i++) {
        growing += grows(&shares[i]);
    }
    return growing;
}

/*
 * Share out a length: what is needed by rank, then what is liked by rank, then the rest in equal
 * parts.
 */
static void share_out(struct share *shares, int count, int length, int gap)
{
    for (;;) {
        int needed = -gap, last = -1;
        for (int i = 0; i < count; i++) {
            if (shares[i].kept) {
                needed += shares[i].need.least + gap;
                if (last < 0 || shares[i].rank > shares[last].rank) {
                    last = i;
                }
            }
        }
        if (needed <= length || last < 0) {
            length -= needed;
            break;
        }
        shares[last].kept = false;
    }
    for (int rank = 1; rank < 10; rank++) {
        for (int i = 0; i < count; i++) {
            int more = shares[i].need.most - shares[i].need.least;
            if (!shares[i].kept || shares[i].rank != rank) {
                continue;
            }
            shares[i].got = shares[i].need.least;
            if (shares[i].need.most < LAYOUT_GROWS) {
                more = more < length ? more : length;
                shares[i].got += more;
                length -= more;
            }
        }
    }
    for (int i = 0, growing = count_growing(shares, count); growing > 0; i++) {
        if (grows(&shares[i])) {
            int part = length / growing--;
            shares[i].got += part;
            length -= part;
        }
    }
}

static int greater(int a, int b)
{
    return a > b ? a : b;
}

static bool is_wanted(const struct layout_place *place, bool replaying)
{
    return place->when != (replaying ? LAYOUT_LIVE : LAYOUT_REPLAY);
}

/* What a band needs is what its neediest panel needs. */
static int gather_bands(const struct layout *layout, bool replaying,
                        struct share bands[MOST_PLACES])
{
    int count = 0;

    memset(bands, 0, MOST_PLACES * sizeof *bands);
    for (size_t i = 0; i < layout->count; i++) {
        const struct layout_place *place = &layout->places[i];
        struct share *band = &bands[place->band];
        bool first = !band->kept;
        count = greater(count, place->band + 1);
        if (!is_wanted(place, replaying)) {
            continue;
        }
        band->need.least = greater(band->need.least, place->rows.least);
        band->need.most = greater(band->need.most, place->rows.most);
        band->rank = first || place->rank < band->rank ? place->rank : band->rank;
        band->kept = true;
    }
    return count;
}

static void arrange_band(const struct layout *layout, bool replaying, int band, int row, int rows,
                         int cols, struct layout_box *boxes)
{
    struct share shares[MOST_PLACES];
    size_t places[MOST_PLACES];
    int count = 0, col = 0;

    for (size_t i = 0; i < layout->count; i++) {
        const struct layout_place *place = &layout->places[i];
        if (place->band == band && is_wanted(place, replaying)) {
            places[count] = i;
            shares[count++] =
                (struct share){.need = place->cols, .rank = place->rank, .kept = true};
        }
    }
    share_out(shares, count, cols, LAYOUT_GAP);
    for (int i = 0; i < count; i++) {
        if (shares[i].kept) {
            boxes[layout->places[places[i]].panel] =
                (struct layout_box){.row = row, .col = col, .rows = rows, .cols = shares[i].got};
            col += shares[i].got + LAYOUT_GAP;
        }
    }
}

void layout_arrange(const struct layout *layout, bool replaying, int rows, int cols,
                    struct layout_box ret_boxes[PANEL_COUNT])
{
    struct share bands[MOST_PLACES];
    int count = gather_bands(layout, replaying, bands), row = 0;

    memset(ret_boxes, 0, PANEL_COUNT * sizeof *ret_boxes);
    share_out(bands, count, rows, 0);
    for (int band = 0; band < count; band++) {
        if (bands[band].kept) {
            arrange_band(layout, replaying, band, row, bands[band].got, cols, ret_boxes);
            row += bands[band].got;
        }
    }
}
