/* A curve as characters. Braille bits: Unicode chart U2800, dots 1 2 3 7 and 4 5 6 8. */
#include "expect.h"

#include <string.h>

#include "view/graph.h"

enum { MOST_CELLS = 64 };

static const struct graph four_by_one = {
    .left = 0.0, .right = 4.0, .low = 0.0, .high = 3.0, .gap = INFINITY, .rows = 1, .cols = 4};

static void expect_codes(const struct graph *graph, const struct graph_point *points, size_t n,
                         const uint32_t *want)
{
    uint32_t codes[MOST_CELLS];

    graph_trace(graph, points, n, codes);
    for (int i = 0; i < graph->rows * graph->cols; i++) {
        if (codes[i] != want[i]) {
            fail_msg("cell %d is U+%04X, not U+%04X", i, codes[i], want[i]);
        }
    }
}

static void a_point_is_one_dot_where_it_belongs(void **unused)
{
    static const struct {
        double x, y;
        int cell;
        uint32_t code;
    } rows[] = {
        {0.0, 3.0, 0, 0x2801}, /* dot 1: top left */
        {0.0, 2.0, 0, 0x2802}, /* dot 2 */
        {0.0, 1.0, 0, 0x2804}, /* dot 3 */
        {0.0, 0.0, 0, 0x2840}, /* dot 7: bottom left */
        {0.5, 3.0, 0, 0x2808}, /* dot 4: top right */
        {2.5, 0.0, 2, 0x2880}, /* dot 8: bottom right */
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct graph graph = four_by_one;
        uint32_t want[4] = {0};
        graph.glyphs = GLYPHS_FULL;
        want[rows[i].cell] = rows[i].code;
        expect_codes(&graph, &(struct graph_point){rows[i].x, rows[i].y}, 1, want);
    }
}

static void the_same_curve_in_what_a_terminal_can_show(void **unused)
{
    /* up from the lower left to the upper right: half way it changes from lower to upper dots */
    static const struct graph_point points[] = {{0.0, 0.0}, {4.0, 3.0}};
    static const struct {
        enum glyphs glyphs;
        uint32_t want[4];
    } rows[] = {
        {GLYPHS_BLOCKS, {0x2584, 0x2584, 0x2588, 0x2580}},
        {GLYPHS_ASCII, {'.', '.', ':', '\''}},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct graph graph = four_by_one;
        graph.glyphs = rows[i].glyphs;
        expect_codes(&graph, points, 2, rows[i].want);
    }
}

static void a_step_is_drawn_upright_and_whole(void **unused)
{
    static const struct graph_point points[] = {{0.0, 0.0}, {1.0, 0.0}, {1.0, 3.0}, {3.9, 3.0}};
    struct graph graph = four_by_one;
    uint32_t codes[MOST_CELLS];

    (void)unused;
    graph.glyphs = GLYPHS_FULL;
    graph.rows = 3;
    graph_trace(&graph, points, 4, codes);
    for (int row = 0; row < 3; row++) {
        assert_int_not_equal(codes[row * 4 + 1], 0); /* no hole on the way up */
    }
    assert_int_equal(codes[0], 0);
    assert_int_equal(codes[2 * 4 + 3], 0);
}

static void gaps_stay_gaps(void **unused)
{
    static const struct graph_point with_nan[] = {{0.0, 0.0}, {1.5, NAN}, {3.5, 0.0}};
    static const struct graph_point far_apart[] = {{0.0, 0.0}, {3.5, 0.0}};
    static const uint32_t want[4] = {'.', 0, 0, '.'};
    struct graph graph = four_by_one;

    (void)unused;
    graph.glyphs = GLYPHS_ASCII;
    expect_codes(&graph, with_nan, 3, want);
    graph.gap = 2.0;
    expect_codes(&graph, far_apart, 2, want);
}

static void what_is_outside_does_no_harm(void **unused)
{
    static const struct graph_point points[] = {{-1e300, 1e300}, {-1.0, 0.0},    {1.0, -1e9},
                                                {2.0, 1e9},      {9.0, 0.0},     {1e300, -1e300},
                                                {NAN, 1.0},      {1.0, INFINITY}};
    struct graph graph = four_by_one;
    uint32_t codes[MOST_CELLS];

    (void)unused;
    for (int glyphs = GLYPHS_ASCII; glyphs <= GLYPHS_FULL; glyphs++) {
        graph.glyphs = (enum glyphs)glyphs;
        graph_trace(&graph, points, sizeof points / sizeof *points, codes);
        graph_trace(&graph, NULL, 0, codes);
        for (int i = 0; i < 4; i++) {
            assert_int_equal(codes[i], 0);
        }
    }
}

static void rows_and_columns_of_values(void **unused)
{
    struct graph graph = four_by_one;

    (void)unused;
    graph.rows = 4;
    graph.glyphs = GLYPHS_FULL;
    assert_int_equal(graph_row(&graph, 3.0), 0);
    assert_int_equal(graph_row(&graph, 0.0), 3);
    assert_int_equal(graph_row(&graph, NAN), -1);
    assert_true(graph_row(&graph, 4.0) < 0);
    assert_true(graph_row(&graph, -2.0) >= 4);
    assert_int_equal(graph_col(&graph, 0.0), 0);
    assert_int_equal(graph_col(&graph, 3.99), 3);
    assert_int_equal(graph_col(&graph, -0.1), -1);
    assert_int_equal(graph_col(&graph, 4.0), 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_point_is_one_dot_where_it_belongs),
        cmocka_unit_test(the_same_curve_in_what_a_terminal_can_show),
        cmocka_unit_test(a_step_is_drawn_upright_and_whole),
        cmocka_unit_test(gaps_stay_gaps),
        cmocka_unit_test(what_is_outside_does_no_harm),
        cmocka_unit_test(rows_and_columns_of_values),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
