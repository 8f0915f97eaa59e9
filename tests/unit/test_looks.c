/* Every ink can be read in every look: contrast as WCAG counts it, shape where there is no colour.
 */
#include "expect.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "view/looks.h"

/*
 * Colours of a terminal as red, green, blue. The cube and the greys of 256: common practice, as
 * xterm's 256colres.h makes them. The first 16 differ from terminal to terminal: left out.
 */
static bool rgb_of(int index, double rgb[3])
{
    static const int levels[6] = {0, 95, 135, 175, 215, 255};

    if (index < 16) {
        return false;
    }
    for (int i = 0; i < 3; i++) {
        int step = index >= 232 ? 8 + 10 * (index - 232)
                                : levels[(index - 16) /
                                         (i == 0   ? 36
                                          : i == 1 ? 6
                                                   : 1) %
                                         6];
        rgb[i] = step / 255.0;
    }
    return true;
}

/* Relative luminance and contrast: WCAG 2.1 (W3C, 2018), "relative luminance", "contrast ratio". */
static double luminance(const double rgb[3])
{
    static const double weights[3] = {0.2126, 0.7152, 0.0722};
    double sum = 0.0;

    for (int i = 0; i < 3; i++) {
        double c = rgb[i];
        sum += weights[i] * (c <= 0.03928 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4));
    }
    return sum;
}

static double contrast(const double a[3], const double b[3])
{
    double la = luminance(a), lb = luminance(b);

    return (fmax(la, lb) + 0.05) / (fmin(la, lb) + 0.05);
}

static void the_measure_is_right(void **unused)
{
    static const double black[3] = {0}, white[3] = {1, 1, 1};
    double grey[3];

    (void)unused;
    expect_near(contrast(black, white), 21.0, 1e-9); /* WCAG 2.1: the range is 1 to 21 */
    assert_true(rgb_of(244, grey));
    expect_near(grey[0], 128.0 / 255.0, 1e-9);
    assert_true(rgb_of(34, grey));
    expect_near(grey[1], 175.0 / 255.0, 1e-9);
}

static void every_ink_can_be_read(void **unused)
{
    static const double black[3] = {0}, white[3] = {1, 1, 1};
    /* WCAG 2.1: 4.5 for text (AA), 7 (AAA); 3 for large or bold text and for graphs */
    static const double least[LOOK_COUNT] = {
        [LOOK_OWN] = 3.0, [LOOK_DARK] = 7.0, [LOOK_SUNLIGHT] = 7.0};

    (void)unused;
    for (int look = 0; look < LOOK_MONO; look++) {
        for (int ink = 0; ink < INK_COUNT; ink++) {
            struct looks_style style = looks_style((enum looks)look, (enum ink)ink, 256);
            double text[3], paper[3], got;
            if (style.text < 0) {
                continue; /* the terminal's own on its own */
            }
            assert_true(rgb_of(style.text, text));
            got = style.paper >= 0 && rgb_of(style.paper, paper)
                      ? contrast(text, paper)
                      : fmin(contrast(text, black), contrast(text, white));
            if (got < least[look]) {
                fail_msg("%s, ink %d: contrast %.2f", looks_name((enum looks)look), ink, got);
            }
        }
    }
}

static void text_and_paper_are_never_the_same(void **unused)
{
    static const int counts[] = {8, 16, 88, 256};

    (void)unused;
    for (int look = 0; look < LOOK_COUNT; look++) {
        for (int ink = 0; ink < INK_COUNT; ink++) {
            for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
                struct looks_style style = looks_style((enum looks)look, (enum ink)ink, counts[i]);
                assert_true(style.text < counts[i] && style.paper < counts[i]);
                assert_true(style.text != style.paper || style.text == -1);
            }
        }
    }
}

static void sunlight_is_black_on_white_and_bold(void **unused)
{
    (void)unused;
    for (int ink = 0; ink < INK_COUNT; ink++) {
        assert_true(looks_style(LOOK_SUNLIGHT, (enum ink)ink, 256).bold);
        assert_true(looks_style(LOOK_SUNLIGHT, (enum ink)ink, 0).bold);
    }
    assert_int_equal(looks_style(LOOK_SUNLIGHT, INK_PLAIN, 8).text, 0);
    assert_int_equal(looks_style(LOOK_SUNLIGHT, INK_PLAIN, 8).paper, 7);
    /* without colours the whole sheet is reversed, and what was reversed is not */
    assert_true(looks_style(LOOK_SUNLIGHT, INK_PLAIN, 0).reversed);
    assert_false(looks_style(LOOK_SUNLIGHT, INK_BAD, 0).reversed);
}

static void without_colour_there_is_none(void **unused)
{
    (void)unused;
    for (int look = 0; look < LOOK_COUNT; look++) {
        for (int ink = 0; ink < INK_COUNT; ink++) {
            struct looks_style style = looks_style((enum looks)look, (enum ink)ink, 0);
            assert_true(style.text == -1 && style.paper == -1);
        }
    }
    assert_int_equal(looks_style(LOOK_MONO, INK_GOOD, 256).text, -1);
    assert_true(looks_style(LOOK_MONO, INK_WARN, 256).underlined);
    assert_true(looks_style(LOOK_MONO, INK_BAD, 256).reversed);
}

static void a_look_has_a_name(void **unused)
{
    enum looks got = LOOK_COUNT;

    (void)unused;
    for (int look = 0; look < LOOK_COUNT; look++) {
        assert_true(looks_parse(looks_name((enum looks)look), &got));
        assert_int_equal(got, look);
    }
    assert_false(looks_parse("pretty", &got));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_measure_is_right),
        cmocka_unit_test(every_ink_can_be_read),
        cmocka_unit_test(text_and_paper_are_never_the_same),
        cmocka_unit_test(sunlight_is_black_on_white_and_bold),
        cmocka_unit_test(without_colour_there_is_none),
        cmocka_unit_test(a_look_has_a_name),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
