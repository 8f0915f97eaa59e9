#include "view/rescue.h"

#define NCURSES_NOMACROS
#include <curses.h>
#include <signal.h>
#include <stdbool.h>
#include <string.h>
#include <term.h>
#include <unistd.h>

static const int crashes[] = {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT, SIGSYS, SIGQUIT};

enum { CRASHES = sizeof crashes / sizeof *crashes, RESTORE_SIZE = 256, STACK_SIZE = 16384 };

/* What a signal handler can reach: there is one terminal. */
static struct {
    int fd;
    struct termios found;
    char restore[RESTORE_SIZE]; /* the bytes that end the screen */
    size_t restore_size;
    struct sigaction before[CRASHES];
    bool armed;
} rescue;

static char stack[STACK_SIZE]; /* a crash may be that the other one is full */

/* Only calls that POSIX allows in a handler. */
static void on_crash(int number, siginfo_t *info, void *context)
{
    ssize_t n = write(rescue.fd, rescue.restore, rescue.restore_size);

    (void)n;
    (void)context;
    tcsetattr(rescue.fd, TCSANOW, &rescue.found);
    for (int i = 0; i < CRASHES; i++) {
        sigaction(crashes[i], &rescue.before[i], NULL);
    }
    /* a fault comes again by itself when we return; a signal that was sent does not */
    if (info->si_code <= 0 || number == SIGABRT || number == SIGQUIT) {
        raise(number);
    }
}

/* A capability's bytes without the $<..> that ask for a pause. */
static void append_capability(const char *name)
{
    const char *s = tigetstr(name);

    if (!s || s == (char *)-1) {
        return;
    }
    while (*s && rescue.restore_size < RESTORE_SIZE) {
        if (s[0] == '$' && s[1] == '<') {
            const char *end = strchr(s, '>');
            s = end ? end + 1 : s + strlen(s);
        } else {
            rescue.restore[rescue.restore_size++] = *s++;
        }
    }
}

void rescue_arm(int fd, const struct termios *found)
{
    stack_t alternate = {.ss_sp = stack, .ss_size = sizeof stack};
    struct sigaction action = {.sa_sigaction = on_crash, .sa_flags = SA_SIGINFO | SA_ONSTACK};

    rescue.fd = fd;
    rescue.found = *found;
    rescue.restore_size = 0;
    append_capability("sgr0");
    append_capability("cnorm");
    append_capability("rmkx");
    append_capability("rmcup");
    sigaltstack(&alternate, NULL);
    sigemptyset(&action.sa_mask);
    for (int i = 0; i < CRASHES; i++) {
        sigaction(crashes[i], &action, &rescue.before[i]);
        if (rescue.before[i].sa_handler == SIG_IGN) {
            /* it will not end us, so there is nothing to rescue */
            sigaction(crashes[i], &rescue.before[i], NULL);
        }
    }
    rescue.armed = true;
}

void rescue_disarm(void)
{
    for (int i = 0; rescue.armed && i < CRASHES; i++) {
        sigaction(crashes[i], &rescue.before[i], NULL);
    }
    rescue.armed = false;
}
