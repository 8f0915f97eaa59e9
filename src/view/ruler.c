#include "view/ruler.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* A ruler's reach from the goal to either end. */
static const struct {
    double span;
    const char *half, *full;
} rulers[] = {
    {0.25, "1/8", "1/4"}, {0.5, "1/4", "1/2"}, {1.0, "1/2", "1"},
    {2.0, "1", "2"},      {4.0, "2", "4"},     {8.0, "4", "8"},
    {16.0, "8", "16"},    {40.0, "20", "40"},  {80.0, "40", "80"},
};

/* Marks from the goal to an end, at even distances; twice as many where there is room. */
enum { RULERS = sizeof rulers / sizeof *rulers, MARKS = 4, ROOMY_COLS = 32 };

/* The antenna stands no nearer to an end than this part of the span. */
static const double slack = 0.95;

static int index_of(double span)
{
    for (int i = 0; i < RULERS; i++) {
        if (rulers[i].span >= span) {
            return i;
        }
    }
    return RULERS - 1;
}

void ruler_make(struct ruler *ret_ruler, double to_go, double there, int cols)
{
    int i = index_of(fabs(to_go) / slack), half, now;

    cols = cols > RULER_MOST_COLS ? RULER_MOST_COLS : cols;
    half = (cols - 1) / 2;
    half -= half % MARKS;
    now = (int)lround(-fmax(-1.0, fmin(to_go / rulers[i].span, 1.0)) * half);
    *ret_ruler = (struct ruler){.span = rulers[i].span,
                                .cols = 2 * half + 1,
                                .now_col = half + now,
                                .off = fabs(to_go) > rulers[i].span,
                                .there_col = (int)lround(there / rulers[i].span * half)};
    if (ret_ruler->there_col < 1) {
        ret_ruler->there_col = 1;
    }
}

uint32_t ruler_code(const struct ruler *ruler, enum glyphs glyphs, int col)
{
    static const struct {
        uint32_t line, mark, large, left, right;
    } codes[] = {
        [GLYPHS_ASCII] = {'-', '+', '|', '[', ']'},
        [GLYPHS_BLOCKS] = {0x2500, 0x2534, 0x253c, '[', ']'},
        [GLYPHS_FULL] = {0x2500, 0x2534, 0x253c, '[', ']'},
    };
    int half = ruler->cols / 2, from_goal = col - half;
    int marks = half >= ROOMY_COLS && half % (2 * MARKS) == 0 ? 2 * MARKS : MARKS;

    if (from_goal == -ruler->there_col) {
        return codes[glyphs].left;
    }
    if (from_goal == ruler->there_col) {
        return codes[glyphs].right;
    }
    if (from_goal > -ruler->there_col && from_goal < ruler->there_col) {
        return ' ';
    }
    for (int k = 1; k <= marks; k++) {
        if (abs(from_goal) * marks == half * k) {
            return 2 * k % marks == 0 ? codes[glyphs].large : codes[glyphs].mark;
        }
    }
    return codes[glyphs].line;
}

int ruler_label(const struct ruler *ruler, int i, char ret_text[RULER_LABEL_SIZE])
{
    int half = ruler->cols / 2, row = index_of(ruler->span);

    snprintf(ret_text, RULER_LABEL_SIZE, "%s",
             i == 2             ? "0"
             : i == 0 || i == 4 ? rulers[row].full
                                : rulers[row].half);
    return half + (i - 2) * half / 2;
}
