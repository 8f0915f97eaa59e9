#include "peaking/cholesky.h"

#include <errno.h>
#include <math.h>

static const double singular = 1e-11;

int cholesky_factor(double *matrix, int n, int stride)
{
    for (int j = 0; j < n; j++) {
        double size = matrix[j * stride + j];
        for (int i = j; i < n; i++) {
            double sum = matrix[i * stride + j];
            for (int k = 0; k < j; k++) {
                sum -= matrix[i * stride + k] * matrix[j * stride + k];
            }
            if (i == j) {
                if (!(sum > singular * size)) {
                    return -EDOM;
                }
                matrix[j * stride + j] = sqrt(sum);
            } else {
                matrix[i * stride + j] = sum / matrix[j * stride + j];
            }
        }
    }
    return 0;
}

void cholesky_solve(const double *lower, int n, int stride, double *x)
{
    for (int i = 0; i < n; i++) {
        for (int k = 0; k < i; k++) {
            x[i] -= lower[i * stride + k] * x[k];
        }
        x[i] /= lower[i * stride + i];
    }
    for (int i = n - 1; i >= 0; i--) {
        for (int k = i + 1; k < n; k++) {
            x[i] -= lower[k * stride + i] * x[k];
        }
        x[i] /= lower[i * stride + i];
    }
}
