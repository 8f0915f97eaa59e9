/* expect.h - what cmocka lacks: doubles compared in double precision. */
#ifndef TESTS_EXPECT_H
#define TESTS_EXPECT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>

/* Fails unless |got - want| <= tolerance, or both are NaN or the same infinity. */
#define expect_near(got, want, tolerance)                                                          \
    expect_near_at((got), (want), (tolerance), #got, __FILE__, __LINE__)

static inline void expect_near_at(double got, double want, double tolerance, const char *what,
                                  const char *file, int line)
{
    if ((isnan(got) && isnan(want)) || got == want) {
        return;
    }
    if (!(fabs(got - want) <= tolerance)) {
        print_error("%s is %.10g, want %.10g within %g\n", what, got, want, tolerance);
        _fail(file, line);
    }
}

#endif
