#include "peaking/robust.h"

#include <math.h>

static const double sd_per_median_size = 1.4826;
static const double huber = 1.345;
static const double bisquare = 6.0;

static void swap(double *a, double *b)
{
    double kept = *a;

    *a = *b;
    *b = kept;
}

/*
 * Brings the k-th smallest to values[k], no greater ones before it, no smaller ones behind: Hoare's
 * selection (Algorithm 65: Find, Commun. ACM 4, 1961). The C library's qsort() may allocate.
 */
static double select_kth(double *values, int n, int k)
{
    int low = 0, high = n - 1;

    while (low < high) {
        double pivot = values[k];
        int i = low, j = high;
        while (i <= j) {
            while (values[i] < pivot) {
                i++;
            }
            while (values[j] > pivot) {
                j--;
            }
            if (i <= j) {
                swap(&values[i++], &values[j--]);
            }
        }
        if (j < k) {
            low = i;
        }
        if (k < i) {
            high = j;
        }
    }
    return values[k];
}

double robust_median(double *values, size_t n)
{
    double upper, lower;

    if (n == 0) {
        return NAN;
    }
    upper = select_kth(values, (int)n, (int)(n / 2));
    if (n % 2) {
        return upper;
    }
    lower = values[0];
    for (size_t i = 1; i < n / 2; i++) {
        lower = fmax(lower, values[i]);
    }
    return 0.5 * (lower + upper);
}

double robust_sd(double median_size)
{
    return sd_per_median_size * median_size;
}

double robust_spread(double *values, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        values[i] = fabs(values[i]);
    }
    return robust_sd(robust_median(values, n));
}

double robust_middle(double a, double b, double c)
{
    double low = a < b ? a : b, high = a < b ? b : a;

    return c < low ? low : c > high ? high : c;
}

double robust_weight(double residual, double sd)
{
    double size = fabs(residual);

    return size <= huber * sd ? 1.0 : huber * sd / size;
}

double robust_last_weight(double residual, double sd)
{
    double part = residual / (bisquare * sd);
    double left = 1.0 - part * part;

    return left > 0.0 ? left * left : 0.0;
}
