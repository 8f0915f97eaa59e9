/* Every key of the tables is explained in the manual with what is allowed, and nothing else is. */
#include "expect.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "coach/procedure.h"
#include "job/job_keys.h"

enum { ENTRIES = 128, ENTRY_TEXT = 2048 };

static struct entry {
    char section[32], keys[160], text[ENTRY_TEXT]; /* keys as " a b c " */
    bool met;
} entries[ENTRIES];
static int entry_count;

/* The text of a page without what roff puts before a minus sign. */
static void add_text(struct entry *entry, const char *line)
{
    size_t n = strlen(entry->text);

    for (; *line && n < ENTRY_TEXT - 2; line++) {
        if (line[0] != '\\' || line[1] != '-') {
            entry->text[n++] = *line;
        }
    }
    entry->text[n++] = ' ';
    entry->text[n] = '\0';
}

/* ".It Ic azimuth_turn , elevation_turn" as " azimuth_turn elevation_turn ". */
static void add_keys(struct entry *entry, const char *list)
{
    size_t n = 0;

    entry->keys[n++] = ' ';
    for (; *list && n < sizeof entry->keys - 2; list++) {
        bool word = isalnum((unsigned char)*list) || *list == '_';
        if (word || entry->keys[n - 1] != ' ') {
            entry->keys[n++] = word ? *list : ' ';
        }
    }
    if (entry->keys[n - 1] != ' ') {
        entry->keys[n++] = ' ';
    }
    entry->keys[n] = '\0';
}

static void read_page(const char *path)
{
    char line[512], section[32] = "";
    struct entry *entry = NULL;
    FILE *file = fopen(path, "r");

    assert_non_null(file);
    memset(entries, 0, sizeof entries);
    entry_count = 0;
    while (fgets(line, sizeof line, file)) {
        line[strcspn(line, "\n")] = '\0';
        if (strncmp(line, ".Ss [", 5) == 0) {
            snprintf(section, sizeof section, "%.*s", (int)strcspn(line + 5, " ]"), line + 5);
        } else if (strncmp(line, ".Sh", 3) == 0) {
            section[0] = '\0';
        }
        if (strncmp(line, ".It Ic ", 7) == 0 && section[0]) {
            assert_true(entry_count < ENTRIES);
            entry = &entries[entry_count++];
            snprintf(entry->section, sizeof entry->section, "%s", section);
            add_keys(entry, line + 7);
        } else if (strncmp(line, ".El", 3) == 0) {
            entry = NULL;
        } else if (entry && line[0] != '.') {
            add_text(entry, line);
        }
    }
    fclose(file);
    assert_true(entry_count > 0);
}

static void expect_explained(const char *section, const char *key, const char *allowed)
{
    char name[64], phrase[256];

    snprintf(name, sizeof name, " %s ", key);
    snprintf(phrase, sizeof phrase, "Allowed is %s.", allowed);
    for (int i = 0; i < entry_count; i++) {
        if (strcmp(entries[i].section, section) == 0 && strstr(entries[i].keys, name)) {
            if (!strstr(entries[i].text, phrase)) {
                fail_msg("[%s] %s: the manual does not say: %s", section, key, phrase);
            }
            entries[i].met = true;
            return;
        }
    }
    fail_msg("[%s] %s is not in the manual", section, key);
}

/* As many names in the manual as keys in the table, and each entry met: nothing is left over. */
static void expect_nothing_else(int keys)
{
    int names = 0;

    for (int i = 0; i < entry_count; i++) {
        if (!entries[i].met) {
            fail_msg("[%s]%sis only in the manual", entries[i].section, entries[i].keys);
        }
        for (const char *p = strchr(entries[i].keys + 1, ' '); p; p = strchr(p + 1, ' ')) {
            names++;
        }
    }
    assert_int_equal(names, keys);
}

static void the_manual_of_jobs_explains_every_key(void **state)
{
    int keys = 0;

    (void)state;
    read_page(SOURCES "/man/peakward-job.5");
    for (const struct job_key *row = job_keys; row->section; row++, keys++) {
        char allowed[JOB_ALLOWED_SIZE];
        job_key_allowed(row, allowed);
        expect_explained(row->section, row->key, allowed);
    }
    expect_nothing_else(keys);
}

static void the_manual_of_procedures_explains_every_key(void **state)
{
    int keys = 0;

    (void)state;
    read_page(SOURCES "/man/peakward-procedure.5");
    for (const struct procedure_key *row = procedure_keys; row->key; row++, keys++) {
        char allowed[PROCEDURE_ALLOWED_SIZE];
        procedure_key_allowed(row, allowed);
        expect_explained("step", row->key, allowed);
    }
    expect_nothing_else(keys);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_manual_of_jobs_explains_every_key),
        cmocka_unit_test(the_manual_of_procedures_explains_every_key),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
