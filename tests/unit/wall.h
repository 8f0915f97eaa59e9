/* wall.h - what tests of panels share: a state, a sheet, and a panel's text read back from it. */
#ifndef TESTS_WALL_H
#define TESTS_WALL_H

#include "expect.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "view/panel.h"

#define WALL_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

enum { ROWS = 24, COLS = 80 };

struct wall {
    struct job job;
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct face_scene scene;
    struct keyboard keyboard;
    struct history history;
    struct coach coach;
    struct sheet sheet;
    struct graph_point points[STATE_TREND];
    uint32_t codes[300 * 300];
    char message[RECORD_TEXT_SIZE];
    char text[65536];
    double t;
};

static inline int set_up(void **ret_wall)
{
    struct wall *wall = calloc(1, sizeof *wall);

    job_init(&wall->job);
    wall->job.target.given = true;
    text_copy(wall->job.target.satellite.name, JOB_NAME_SIZE, "Ptarmigan 1");
    text_copy(wall->job.target.satellite.id, JOB_NAME_SIZE, "PTARMIGAN");
    text_copy(wall->job.neighbours[0].name, JOB_NAME_SIZE, "Marmot 2");
    text_copy(wall->job.neighbours[0].id, JOB_NAME_SIZE, "MARMOT");
    wall->job.neighbour_count = 1;
    for (int i = 0; i < AXIS_COUNT; i++) {
        wall->job.mount.axes[i].from = JOB_FROM_SENSOR;
    }
    state_init(&wall->state, &wall->job, &wall->magnetic);
    wall->scene = (struct face_scene){.state = &wall->state,
                                      .procedure = &wall->procedure,
                                      .history = &wall->history,
                                      .title = "peak",
                                      .log_path = "",
                                      .speed = 1.0};
    keyboard_init(&wall->keyboard);
    history_init(&wall->history);
    assert_int_equal(sheet_init(&wall->sheet, ROWS, COLS, GLYPHS_FULL), 0);
    *ret_wall = wall;
    return 0;
}

static inline int tear_down(void **state)
{
    struct wall *wall = *state;

    sheet_finish(&wall->sheet);
    free(wall);
    return 0;
}

static inline const struct panel_view *view_of(struct wall *wall)
{
    static struct panel_view view;

    view = (struct panel_view){.scene = &wall->scene,
                               .t = wall->t,
                               .keyboard = &wall->keyboard,
                               .message = wall->message,
                               .points = wall->points,
                               .codes = wall->codes};
    return &view;
}

/* What a panel writes on a pane of some size, as text. */
static inline const char *written(struct wall *wall, panel_compose *panel, int rows, int cols)
{
    struct pane whole = pane_whole(&wall->sheet), pane = pane_part(&whole, 0, 0, rows, cols);
    size_t used = 0;

    sheet_blank(&wall->sheet);
    panel(&pane, view_of(wall));
    for (int row = 0; row < rows && row < wall->sheet.rows; row++) {
        used += sheet_row_text(&wall->sheet, row, wall->text + used, sizeof wall->text - used - 1);
        wall->text[used++] = '\n';
    }
    wall->text[used] = '\0';
    return wall->text;
}

#define expect_says(wall, panel, rows, cols, want)                                                 \
    do {                                                                                           \
        if (!strstr(written((wall), (panel), (rows), (cols)), (want))) {                           \
            fprintf(stderr, "wanted '%s' in\n%s", (want), (wall)->text);                           \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

static inline void apply(struct wall *wall, struct record record)
{
    state_apply(&wall->state, &record);
    history_add(&wall->history, &wall->state, &record);
    wall->t = record.t;
}

static inline void put_levels(struct wall *wall, double from_t, double level, double slope)
{
    for (int i = 0; i < 40; i++) {
        double t = from_t + 0.2 * i;
        apply(wall, (struct record){
                        .t = t, .kind = RECORD_LEVEL, .level = {.value = level + slope * 0.2 * i}});
    }
}

static inline void put_advice(struct wall *wall, struct advice advice)
{
    apply(wall, (struct record){.t = 1.0, .kind = RECORD_ADVICE, .advice = advice});
}

static inline void put_fix(struct wall *wall)
{
    apply(wall, (struct record){.t = 0.0,
                                .kind = RECORD_FIX,
                                .fix = {.lat_deg = 46.6,
                                        .lon_deg = 10.1,
                                        .height_m = 0.0,
                                        .error_m = NAN,
                                        .mode = 3,
                                        .satellites = -1}});
    wall->state.target.deg[AXIS_AZIMUTH] = 1.0;
    wall->state.target.deg[AXIS_ELEVATION] = 35.0;
}

static inline void put_angles(struct wall *wall, double az, double el, bool scale)
{
    apply(wall, (struct record){.t = 1.0,
                                .kind = RECORD_ANGLES,
                                .angles = {.deg = {az, el, NAN}, .scale = scale, .from = "mount"}});
}

#endif
