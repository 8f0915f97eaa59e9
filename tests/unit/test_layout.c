/* Which panel goes where: at every size all boxes lie inside, apart from each other. */
#include "expect.h"

#include <stdbool.h>
#include <string.h>

#include "view/layout.h"

static void a_size_gets_its_layout(void **unused)
{
    static const struct {
        int rows, cols;
        const char *want;
    } rows[] = {
        {24, 80, "standard"},  {40, 120, "wide"},  {20, 40, "narrow"}, {60, 200, "wide"},
        {24, 120, "standard"}, {50, 60, "narrow"}, {12, 40, "narrow"}, {13, 200, "narrow"},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct layout *layout = layout_choose(rows[i].rows, rows[i].cols, LAYOUT_NEAR);
        assert_non_null(layout);
        assert_string_equal(layout->name, rows[i].want);
    }
}

static void too_small_is_no_layout(void **unused)
{
    (void)unused;
    assert_null(layout_choose(layout_least_rows - 1, 80, LAYOUT_NEAR));
    assert_null(layout_choose(24, layout_least_cols - 1, LAYOUT_NEAR));
    assert_null(layout_choose(0, 0, LAYOUT_NEAR));
    assert_null(layout_choose(layout_least_rows - 1, 80, LAYOUT_FAR));
    assert_non_null(layout_choose(layout_least_rows, layout_least_cols, LAYOUT_NEAR));
}

static bool overlap(const struct layout_box *a, const struct layout_box *b)
{
    return a->rows > 0 && b->rows > 0 && a->row < b->row + b->rows && b->row < a->row + a->rows &&
           a->col < b->col + b->cols && b->col < a->col + a->cols;
}

static void check_boxes(const struct layout_box *boxes, int rows, int cols)
{
    for (int i = 0; i < PANEL_COUNT; i++) {
        const struct layout_box *box = &boxes[i];
        assert_true(box->row >= 0 && box->col >= 0 && box->rows >= 0 && box->cols >= 0);
        assert_true(box->row + box->rows <= rows);
        assert_true(box->col + box->cols <= cols);
        for (int j = i + 1; j < PANEL_COUNT; j++) {
            assert_false(overlap(box, &boxes[j]));
        }
    }
}

static void at_every_size_boxes_lie_inside_and_apart(void **unused)
{
    (void)unused;
    for (int rows = layout_least_rows; rows < 90; rows++) {
        for (int cols = layout_least_cols; cols < 260; cols++) {
            const struct layout *layout = layout_choose(rows, cols, LAYOUT_NEAR);
            struct layout_box boxes[PANEL_COUNT];
            for (int replaying = 0; replaying < 2; replaying++) {
                layout_arrange(layout, replaying, rows, cols, boxes);
                check_boxes(boxes, rows, cols);
            }
        }
    }
}

static void what_matters_most_is_always_there(void **unused)
{
    static const enum panel_id needed[] = {PANEL_HEAD,      PANEL_TURN,  PANEL_LEVEL,
                                           PANEL_SATELLITE, PANEL_COACH, PANEL_KEYS};

    (void)unused;
    for (int rows = layout_least_rows; rows < 90; rows++) {
        for (int cols = layout_least_cols; cols < 260; cols++) {
            struct layout_box boxes[PANEL_COUNT];
            layout_arrange(layout_choose(rows, cols, LAYOUT_NEAR), (rows + cols) % 2, rows, cols,
                           boxes);
            for (size_t i = 0; i < sizeof needed / sizeof *needed; i++) {
                if (boxes[needed[i]].rows == 0) {
                    fail_msg("panel %d is missing at %d x %d", needed[i], cols, rows);
                }
            }
        }
    }
}

static void from_afar_all_rows_go_to_the_large_figures(void **unused)
{
    (void)unused;
    for (int rows = layout_least_rows; rows < 90; rows++) {
        for (int cols = layout_least_cols; cols < 260; cols += 7) {
            const struct layout *layout = layout_choose(rows, cols, LAYOUT_FAR);
            struct layout_box boxes[PANEL_COUNT];
            bool narrow = cols < 72; /* there a sentence has two lines */
            assert_string_equal(layout->name, narrow ? "far narrow" : "far");
            layout_arrange(layout, false, rows, cols, boxes);
            check_boxes(boxes, rows, cols);
            assert_in_range(boxes[PANEL_TURN].rows - boxes[PANEL_LEVEL].rows, 0, 2);
            assert_true(boxes[PANEL_TURN].rows + boxes[PANEL_LEVEL].rows >= rows - 5 - narrow);
            assert_int_equal(boxes[PANEL_COACH].rows, narrow ? 2 : 1);
            assert_true(boxes[PANEL_SATELLITE].rows == 1 && boxes[PANEL_KEYS].rows == 1);
        }
    }
}

static void nothing_is_left_over(void **unused)
{
    (void)unused;
    for (int rows = 24; rows < 90; rows++) {
        struct layout_box boxes[PANEL_COUNT];
        int beside;
        layout_arrange(layout_choose(rows, 120, LAYOUT_NEAR), false, rows, 120, boxes);
        assert_int_equal(boxes[PANEL_KEYS].row + boxes[PANEL_KEYS].rows, rows);
        beside = boxes[PANEL_SIDE].cols;
        beside += beside > 0 ? LAYOUT_GAP : 0;
        assert_int_equal(boxes[PANEL_HEAD].row, 0);
        assert_int_equal(boxes[PANEL_GRAPH].cols + beside, 120);
    }
}

/* And each has the rows that its graph needs (LEAST_ROWS of the panels), or a row at least. */
static void a_wide_window_shows_everything_at_once(void **unused)
{
    static const int sizes[][2] = {{40, 120}, {40, 200}, {60, 120}, {120, 300}};

    (void)unused;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        for (int replaying = 0; replaying < 2; replaying++) {
            struct layout_box boxes[PANEL_COUNT];
            layout_arrange(layout_choose(sizes[i][0], sizes[i][1], LAYOUT_NEAR), replaying == 1,
                           sizes[i][0], sizes[i][1], boxes);
            for (int panel = 0; panel < PANEL_COUNT; panel++) {
                assert_true(boxes[panel].rows > 0 || panel == PANEL_WHOLE);
            }
            assert_true(boxes[PANEL_GRAPH].rows >= 6 && boxes[PANEL_SIDE].rows >= 6 &&
                        boxes[PANEL_THIRD].rows >= 6);
        }
    }
}

static void the_line_of_the_whole_is_a_replays(void **unused)
{
    static const struct {
        int rows, cols;
    } sizes[] = {{24, 80}, {40, 120}, {20, 40}};
    struct layout_box boxes[PANEL_COUNT];

    (void)unused;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        int rows = sizes[i].rows, cols = sizes[i].cols;
        const struct layout *layout = layout_choose(rows, cols, LAYOUT_NEAR);
        layout_arrange(layout, true, rows, cols, boxes);
        assert_int_equal(boxes[PANEL_WHOLE].row, rows - 2);
        assert_int_equal(boxes[PANEL_WHOLE].rows, 1);
        assert_true(boxes[PANEL_GRAPH].rows > 0);
        layout_arrange(layout, false, rows, cols, boxes);
        assert_int_equal(boxes[PANEL_WHOLE].rows, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_size_gets_its_layout),
        cmocka_unit_test(too_small_is_no_layout),
        cmocka_unit_test(at_every_size_boxes_lie_inside_and_apart),
        cmocka_unit_test(what_matters_most_is_always_there),
        cmocka_unit_test(from_afar_all_rows_go_to_the_large_figures),
        cmocka_unit_test(nothing_is_left_over),
        cmocka_unit_test(a_wide_window_shows_everything_at_once),
        cmocka_unit_test(the_line_of_the_whole_is_a_replays),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
