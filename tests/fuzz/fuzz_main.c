/*
 * fuzz_main.c - a fuzz target as a plain program: each file of its corpus as it is, then mutations
 * of them, the same ones at each run, for about a second. With clang, -fsanitize=fuzzer takes the
 * place of this file.
 *
 *   fuzz_TARGET CORPUS-DIRECTORY [SECONDS]
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { SEEDS = 64, SEED_SIZE = 4096, INPUT_SIZE = 8192, BATCH = 64 };

static struct seed {
    uint8_t bytes[SEED_SIZE];
    size_t size;
} seeds[SEEDS];
static size_t seed_count;

/* xorshift64 (Marsaglia 2003, "Xorshift RNGs", triple 13, 7, 17) */
static uint64_t random_state = 88172645463325252ull;

static size_t below(size_t limit)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (size_t)(random_state % limit);
}

/* A copy of just the right size, so that reading past the end is seen. */
static void run(const uint8_t *bytes, size_t size)
{
    uint8_t *copy = malloc(size > 0 ? size : 1);

    if (!copy) {
        abort();
    }
    memcpy(copy, bytes, size);
    LLVMFuzzerTestOneInput(copy, size);
    free(copy);
}

static int read_seeds(const char *directory)
{
    struct dirent **names;
    int count = scandir(directory, &names, NULL, alphasort);

    if (count < 0) {
        perror(directory);
        return -1;
    }
    for (int i = 0; i < count; i++) {
        char path[1024];
        FILE *file;
        snprintf(path, sizeof path, "%s/%s", directory, names[i]->d_name);
        file = names[i]->d_name[0] == '.' ? NULL : fopen(path, "rb");
        free(names[i]);
        if (file && seed_count < SEEDS) {
            struct seed *seed = &seeds[seed_count++];
            seed->size = fread(seed->bytes, 1, sizeof seed->bytes, file);
        }
        if (file) {
            fclose(file);
        }
    }
    free(names);
    return seed_count > 0 ? 0 : -1;
}

/* A piece of a seed goes in at some place. */
static size_t splice(uint8_t *input, size_t size)
{
    const struct seed *seed = &seeds[below(seed_count)];
    size_t at = below(size + 1), from = below(seed->size + 1);
    size_t n = below(seed->size - from + 1);

    if (size + n > INPUT_SIZE) {
        return size;
    }
    memmove(input + at + n, input + at, size - at);
    memcpy(input + at, seed->bytes + from, n);
    return size + n;
}

static size_t mutate(uint8_t *input, size_t size)
{
    static const uint8_t telling[] = {0,   '\n', '\r', '\t', '$',  '*',  ',', '{',  '}',
                                      '"', '.',  '-',  '9',  '=',  ';',  '#', '\\', '[',
                                      ']', '|',  ' ',  0x1b, 0x7f, 0xc2, 0xff};
    size_t at = size > 0 ? below(size) : 0, n;

    switch (below(5)) {
    case 0:
        return splice(input, size);
    case 1: /* drop a piece */
        n = size > 0 ? below(size - at) + 1 : 0;
        memmove(input + at, input + at + n, size - at - n);
        return size - n;
    case 2: /* flip a bit */
        if (size > 0) {
            input[at] ^= (uint8_t)(1u << below(8));
        }
        return size;
    case 3: /* a byte that means something to somebody */
        if (size > 0) {
            input[at] = telling[below(sizeof telling)];
        }
        return size;
    default: /* stutter */
        n = size > 0 ? below(size - at) + 1 : 0;
        if (size + n <= INPUT_SIZE) {
            memmove(input + at + n, input + at, size - at);
            size += n;
        }
        return size;
    }
}

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

int main(int argc, char **argv)
{
    double until = now_s() + (argc > 2 ? atof(argv[2]) : 1.0);
    unsigned long runs = 0;

    if (argc < 2 || read_seeds(argv[1]) < 0) {
        fprintf(stderr, "usage: %s CORPUS-DIRECTORY [SECONDS]\n", argv[0]);
        return 2;
    }
    for (size_t i = 0; i < seed_count; i++) {
        run(seeds[i].bytes, seeds[i].size);
    }
    do {
        for (int i = 0; i < BATCH; i++, runs++) {
            uint8_t input[INPUT_SIZE];
            const struct seed *seed = &seeds[below(seed_count)];
            size_t size = seed->size;
            memcpy(input, seed->bytes, size);
            for (size_t n = below(8) + 1; n > 0; n--) {
                size = mutate(input, size);
            }
            run(input, size);
        }
    } while (now_s() < until);
    printf("%lu runs\n", runs);
    return 0;
}
