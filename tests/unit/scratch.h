/* scratch.h - files for a test, in a directory of its own that is gone afterwards. */
#ifndef TESTS_SCRATCH_H
#define TESTS_SCRATCH_H

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { SCRATCH_PATH = 300 };

static char scratch_dir[SCRATCH_PATH];

/* cmocka's group setup and teardown. */
static inline int scratch_begin(void **state)
{
    const char *tmp = getenv("TMPDIR");

    (void)state;
    snprintf(scratch_dir, sizeof scratch_dir, "%s/peakward-test-XXXXXX", tmp ? tmp : "/tmp");
    return mkdtemp(scratch_dir) ? 0 : -1;
}

static inline int scratch_end(void **state)
{
    DIR *dir = opendir(scratch_dir);
    const struct dirent *entry;

    (void)state;
    while (dir && (entry = readdir(dir)) != NULL) {
        char path[2 * SCRATCH_PATH];
        snprintf(path, sizeof path, "%s/%s", scratch_dir, entry->d_name);
        if (entry->d_name[0] != '.' && unlink(path) < 0) {
            rmdir(path);
        }
    }
    if (dir) {
        closedir(dir);
    }
    return rmdir(scratch_dir);
}

/* The path of a file there; valid until the next call. */
static inline const char *scratch_path(const char *name)
{
    static char path[2 * SCRATCH_PATH];

    snprintf(path, sizeof path, "%s/%s", scratch_dir, name);
    return path;
}

/* Write n bytes to a file there; returns its path. */
static inline const char *scratch_write(const char *name, const char *bytes, size_t n)
{
    const char *path = scratch_path(name);
    FILE *file = fopen(path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
    return path;
}

#endif
