#include "expect.h"

#include <errno.h>
#include <string.h>

#include "base/csv_row.h"

/* RFC 4180, section 2, rules 4 to 7; blanks around quotes are common practice, no source. */
static void fields_are_parted_at_commas_outside_quotes(void **state)
{
    static const struct {
        const char *row;
        size_t count; /* 0 = refused */
        const char *says[3];
    } rows[] = {
        {"46.6,10.1,Hut", 3, {"46.6", "10.1", "Hut"}},
        {"", 1, {""}},
        {",", 2, {"", ""}},
        {"a,,", 3, {"a", "", ""}},
        {"\"Hut, upper\",2", 2, {"Hut, upper", "2"}},
        {"\"say \"\"hut\"\"\"", 1, {"say \"hut\""}},
        {"\"\"", 1, {""}},
        {"\"\"\"\"", 1, {"\""}},
        {" 46.6 ,\t10.1 ", 2, {"46.6", "10.1"}},
        {" \"a b\" ,c", 2, {"a b", "c"}},
        {"\"two\nlines\",x", 2, {"two\nlines", "x"}},
        {"12\" dish,x", 2, {"12\" dish", "x"}},
        {"\"open,x", 0, {NULL}},
        {"\"closed\"x,y", 0, {NULL}},
        {"a,\"", 0, {NULL}},
    };
    struct csv_row_field fields[3];
    char text[32];

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t n = csv_row_split(rows[i].row, strlen(rows[i].row), fields, 3);
        assert_int_equal(n, rows[i].count);
        for (size_t k = 0; k < n; k++) {
            assert_int_equal(csv_row_copy(&fields[k], text, sizeof text), 0);
            assert_string_equal(text, rows[i].says[k]);
        }
    }
}

static void fields_beyond_the_room_are_counted(void **state)
{
    struct csv_row_field fields[2] = {{NULL, 0}, {"untouched", 9}};

    (void)state;
    assert_int_equal(csv_row_split("a,b,c,d", 7, fields, 1), 4);
    assert_string_equal(fields[1].text, "untouched");
}

static void what_does_not_fit_or_has_a_nul_is_refused(void **state)
{
    struct csv_row_field field = {"12345", 5}, nul = {"1\0002", 3};
    char text[5];

    (void)state;
    assert_int_equal(csv_row_copy(&field, text, sizeof text), -ENAMETOOLONG);
    assert_string_equal(text, "");
    assert_int_equal(csv_row_copy(&nul, text, sizeof text), -EINVAL);
    assert_string_equal(text, "");
    field.length = 4;
    assert_int_equal(csv_row_copy(&field, text, sizeof text), 0);
    assert_string_equal(text, "1234");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fields_are_parted_at_commas_outside_quotes),
        cmocka_unit_test(fields_beyond_the_room_are_counted),
        cmocka_unit_test(what_does_not_fit_or_has_a_nul_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
