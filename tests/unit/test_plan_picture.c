/* The picture of the sky: that things are drawn where the angles say. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "plan_stage.h"

/* date -u -d 2026-02-25T09:30 +%s */
static const double a_morning = 1772011800.0;

enum { LEFT = 5, COLUMNS = 72, ROWS = 13 };

/* The character at a direction in the picture, by its scales. */
static char cell(double right_deg, double up_deg)
{
    const char *line = strstr(text, "The sky:");
    int row = ROWS - 1 - (int)floor(up_deg / sheet.picture.top_deg * ROWS);
    int column = LEFT + (int)floor((right_deg / 60.0 + 1.0) * 0.5 * COLUMNS);

    assert_non_null(line);
    for (int i = 0; i <= row; i++) {
        line = strchr(line, '\n') + 1;
    }
    return column < (int)strcspn(line, "\n") ? line[column] : ' ';
}

static void a_hut(void)
{
    place("46.6", "10.1", "22.4", "V");
    set("neighbour Ibex <&> 4", "longitude", "16E");
    set("skyline", "point", "130 12");
    set("skyline", "point", "150 12");
    make(a_morning);
}

static void things_stand_where_the_angles_say(void **state)
{
    (void)state;
    a_hut();
    assert_int_equal(cell(0.0, sheet.row.elevation_apparent_deg), 'X');
    assert_int_equal(cell(sheet.arc.neighbours[0].seen.azimuth_deg,
                          sheet.arc.neighbours[0].seen.look.elevation_deg + 0.03),
                     'o');
    /* between the skyline's two points, below and above it */
    assert_int_equal(cell(140.0 - 163.28, 4.0), '#');
    assert_int_equal(cell(140.0 - 163.28, 15.0), ' ');
    assert_int_equal(cell(170.0 - 163.28, 4.0), ' '); /* nobody looked there */
    /* the arc's highest point is due south: 90 - 46.6 - 6.9 degrees (geometry) */
    assert_int_equal(cell(180.0 - 163.28, 36.5), '.');
    /* the sun at 11 UTC, marked by its hour */
    struct sun sun = sun_at(&sheet.sun.track, &job.site.place, a_morning + 5400.0);
    assert_int_equal(cell(sun.azimuth_deg - 163.28, sun.elevation_deg + 0.03), '1');
    fits_80_columns();
}

static void north_is_crossed_without_a_tear(void **state)
{
    (void)state;
    place("-35", "149", "155", "H"); /* the arc stands in the north, on both sides of 0 */
    make(a_morning);
    assert_int_equal(cell(0.0, sheet.row.elevation_apparent_deg), 'X');
    assert_non_null(strstr(text, "\n         320            345             10"));
    fits_80_columns();
}

static char *svg(void)
{
    char *buffer = NULL;
    size_t n;
    FILE *file = open_memstream(&buffer, &n);

    assert_non_null(file);
    plan_picture_svg(&sheet.picture, file);
    assert_int_equal(fclose(file), 0);
    return buffer;
}

/* Every element that is opened is closed, in order; attributes are quoted. */
static void expect_well_formed(const char *xml)
{
    char open[16][32];
    int depth = 0;

    for (const char *p = strchr(xml, '<'); p; p = strchr(p, '<')) {
        size_t n = strcspn(++p, " />\n"), end = strcspn(p, "<>");
        assert_int_equal(p[end], '>');
        assert_true(n < sizeof open[0]);
        if (*p == '/') {
            n = strcspn(p + 1, ">");
            assert_true(depth > 0);
            depth--;
            assert_true(strlen(open[depth]) == n && strncmp(open[depth], p + 1, n) == 0);
        } else if (*p != '?' && p[end - 1] != '/') {
            assert_true(depth < 16);
            memcpy(open[depth], p, n);
            open[depth++][n] = '\0';
        }
    }
    assert_int_equal(depth, 0);
}

static void the_drawing_is_well_formed_and_names_what_it_shows(void **state)
{
    char *xml;

    (void)state;
    a_hut();
    set("site", "name", "Hut & more");
    make(a_morning);
    xml = svg();
    expect_well_formed(xml);
    assert_non_null(strstr(xml, "Ibex &lt;&amp;&gt; 4"));
    assert_null(strstr(xml, "<&>"));
    assert_non_null(strstr(xml, "Hut &amp; more: the target, the sun on 2026-02-25"));
    assert_non_null(strstr(xml, "Never look into the sun"));
    assert_null(strstr(xml, "nan"));
    free(xml);
}

static void any_place_can_be_drawn(void **state)
{
    (void)state;
    for (int lat = -80; lat <= 80; lat += 20) {
        char text_lat[16];
        snprintf(text_lat, sizeof text_lat, "%d", lat);
        place(text_lat, "170", "-170", "V");
        make(a_morning);
        fits_80_columns();
        char *xml = svg();
        expect_well_formed(xml);
        assert_null(strstr(xml, "nan"));
        free(xml);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(things_stand_where_the_angles_say, set_up),
        cmocka_unit_test_setup(north_is_crossed_without_a_tear, set_up),
        cmocka_unit_test_setup(the_drawing_is_well_formed_and_names_what_it_shows, set_up),
        cmocka_unit_test_setup(any_place_can_be_drawn, set_up),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
