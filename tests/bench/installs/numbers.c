#include "numbers.h"

#include <math.h>
#include <stdlib.h>

struct numbers numbers_create(size_t most)
{
    return (struct numbers){.values = calloc(most + 1, sizeof(double))};
}

void numbers_destroy(struct numbers *numbers)
{
    free(numbers->values);
}

void numbers_add(struct numbers *numbers, double value)
{
    if (numbers->values && isfinite(value)) {
        numbers->values[numbers->n++] = value;
    }
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

void numbers_sort(struct numbers *numbers)
{
    if (numbers->n > 0) {
        qsort(numbers->values, numbers->n, sizeof(double), compare);
    }
}

double numbers_at_share(const struct numbers *numbers, double share)
{
    size_t rank = (size_t)ceil(share * (double)numbers->n - 1e-9);

    return numbers->n == 0 ? NAN : numbers->values[rank > 0 ? rank - 1 : 0];
}

double numbers_mean(const struct numbers *numbers)
{
    double sum = 0.0;

    for (size_t i = 0; i < numbers->n; i++) {
        sum += numbers->values[i];
    }
    return sum / (double)numbers->n; /* 0 / 0 is NaN */
}
