/*
 * How fast the screen follows and what it costs: a meter on a pseudo-terminal speaks, a terminal
 * emulator looks. In the same run gpsd's own curses client, at the same rate of reports, is the
 * yardstick.
 *
 *   screen PEAKWARD
 */
#include "../../end-to-end/tty.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <netinet/in.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { ROWS = 24, COLS = 80, MOST_LATENCIES = 4096 };

static const double patience_s = 0.5; /* a reading not seen by then is counted as lost */

struct figures {
    double latencies[MOST_LATENCIES];
    int count, lost;
    double cpu_percent, bytes_per_s;
};

static char directory[64];
static int misses;

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Time on a processor so far, s: the first number of schedstat, ns (proc(5)). */
static double cpu_s(pid_t pid)
{
    char path[64];
    double ns = NAN;
    FILE *file;

    snprintf(path, sizeof path, "/proc/%d/schedstat", (int)pid);
    file = fopen(path, "r");
    if (file) {
        if (fscanf(file, "%lf", &ns) != 1) {
            ns = NAN;
        }
        fclose(file);
    }
    return ns * 1e-9;
}

/* A line "NAME: N kB" of status (proc(5)), in MB. */
static double status_mb(pid_t pid, const char *name)
{
    char path[64], line[256];
    double kb = NAN;
    FILE *file;

    snprintf(path, sizeof path, "/proc/%d/status", (int)pid);
    file = fopen(path, "r");
    while (file && fgets(line, sizeof line, file)) {
        if (strncmp(line, name, strlen(name)) == 0) {
            kb = strtod(line + strlen(name) + 1, NULL);
        }
    }
    if (file) {
        fclose(file);
    }
    return kb / 1000.0;
}

/* --- feeding and looking -------------------------------------------------------------------- */

/* One reading: says it, and gives the text that will be seen of it. */
typedef void say_reading(int i, char wanted[32]);

static bool shows(const struct tty *tty, const char *text)
{
    static char room[TTY_TEXT_SIZE];

    tty_text(tty, room);
    return strstr(room, text) != NULL;
}

/* Readings at a rate for some seconds; each is looked for until the next but one is due. */
static void measure(struct tty *tty, say_reading *say, double rate, double seconds,
                    struct figures *ret)
{
    double begun = now_s(), cpu = cpu_s(tty->pid), due = begun;
    size_t bytes = tty->bytes;

    *ret = (struct figures){.count = 0};
    for (int i = 0; due < begun + seconds; i++) {
        char wanted[32];
        double said;
        /* not in step with the screen's own seconds */
        due += 1.0 / rate * (0.9 + 0.2 * ((i * 7919) % 100) / 100.0);
        while (now_s() < due) {
            tty_take_in(tty, (int)fmax((due - now_s()) * 1e3, 0.0));
        }
        said = now_s();
        say(i, wanted);
        while (rate <= 20.0 && !shows(tty, wanted) && now_s() < said + patience_s) {
            tty_take_in(tty, 1);
        }
        if (rate <= 20.0 && ret->count < MOST_LATENCIES) {
            double latency = now_s() - said;
            ret->lost += latency >= patience_s;
            ret->latencies[ret->count++] = latency;
        }
    }
    seconds = now_s() - begun;
    ret->cpu_percent = 100.0 * (cpu_s(tty->pid) - cpu) / seconds;
    ret->bytes_per_s = (double)(tty->bytes - bytes) / seconds;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static double quantile_ms(struct figures *figures, double part)
{
    qsort(figures->latencies, (size_t)figures->count, sizeof *figures->latencies, by_size);
    return 1e3 * figures->latencies[(int)(part * (figures->count - 1))];
}

static void report(const char *what, double got, const char *unit, double most)
{
    bool miss = !(got <= most);

    misses += miss;
    if (isfinite(most)) {
        printf("  %-44s %8.2f %-5s (at most %g)%s\n", what, got, unit, most, miss ? " MISSED" : "");
    } else {
        printf("  %-44s %8.2f %s\n", what, got, unit);
    }
}

/* --- peakward ------------------------------------------------------------------------------- */

static int meter = -1; /* the pseudo-terminal that the meter speaks on */

static void say_level(int i, char wanted[32])
{
    char line[64];
    /* each differs from the one before by more than the filter takes for noise */
    double level = 8.0 + (i % 2) * 3.0 + 0.1 * ((i * 7) % 20);

    snprintf(wanted, 32, "(meter %.1f)", level);
    snprintf(line, sizeof line, "SNR %.1f LOCK yes\r\n", level);
    if (write(meter, line, strlen(line)) < 0) {
        fprintf(stderr, "meter: %s\n", strerror(errno));
    }
}

static void plug_in(char device[128])
{
    char name[64];
    int slave;

    if (openpty(&meter, &slave, name, NULL, NULL) < 0) {
        exit(2);
    }
    fcntl(meter, F_SETFD, FD_CLOEXEC);
    fcntl(meter, F_SETFL, O_NONBLOCK);
    snprintf(device, 128, "%s/meter", directory);
    if (symlink(name, device) < 0) {
        exit(2);
    }
    close(slave);
}

/* An invented hut, an invented satellite. */
static void write_job(const char *path, const char *device)
{
    FILE *file = fopen(path, "w");

    if (!file) {
        exit(2);
    }
    fprintf(file,
            "[site]\nlat = 46.6\nlon = 10.1\nheight = 2200\n"
            "[target]\nname = Ptarmigan 1\nlongitude = 22.4E\npolarisation = V\n"
            "[mount]\nazimuth_from = nudges\nelevation_from = nudges\nskew_from = nudges\n"
            "[meter finder]\npattern = SNR {level} LOCK {lock}\nunit = dB\nbaud = 115200\n"
            "[source finder]\naddress = serial:%s\nmeter = finder\n",
            device);
    fclose(file);
}

static void bench_peakward(const char *peakward)
{
    static struct figures figures;
    char device[128], job[128], log[128];
    const char *const argv[] = {peakward, "peak", "--job", job, "--log", log, NULL};
    struct tty tty;
    double begun, first_ms = INFINITY;

    plug_in(device);
    snprintf(job, sizeof job, "%s/job", directory);
    snprintf(log, sizeof log, "%s/log.jsonl", directory);
    write_job(job, device);
    for (int i = 0; i < 5; i++) { /* the best of five: what else runs here is not ours */
        begun = now_s();
        tty_start(&tty, &(struct tty_setup){.argv = argv, .rows = ROWS, .cols = COLS});
        while (!shows(&tty, "q quit") && now_s() < begun + 5.0) {
            tty_take_in(&tty, 1);
        }
        first_ms = fmin(first_ms, 1e3 * (now_s() - begun));
        if (i < 4) {
            tty_finish(&tty);
            unlink(log);
        }
    }
    /* past the cautions, to the screen that is worked with */
    for (int i = 0; !shows(&tty, "(meter") && i < 20; i++) {
        char wanted[32];
        tty_send(&tty, "\r");
        say_level(i, wanted);
        tty_settle(&tty, 200);
    }
    printf("peakward, %d x %d\n", COLS, ROWS);
    report("first frame after the start", first_ms, "ms", 50.0);
    measure(&tty, say_level, 10.0, 30.0, &figures);
    report("10 readings/s: line to cell, median", quantile_ms(&figures, 0.5), "ms", 5.0);
    report("10 readings/s: line to cell, 99 %", quantile_ms(&figures, 0.99), "ms", 25.0);
    report("10 readings/s: readings not seen", figures.lost, "", 0.0);
    report("10 readings/s: of a core", figures.cpu_percent, "%", 1.0);
    report("10 readings/s: to the terminal", figures.bytes_per_s / 1e3, "kB/s", 3.0);
    measure(&tty, say_level, 200.0, 15.0, &figures);
    report("200 readings/s: of a core", figures.cpu_percent, "%", 5.0);
    report("200 readings/s: to the terminal", figures.bytes_per_s / 1e3, "kB/s", INFINITY);
    report("resident memory, the most", status_mb(tty.pid, "VmHWM"), "MB", 12.0);
    tty_finish(&tty);
    close(meter);
    unlink(device);
    unlink(job);
    unlink(log);
}

/* --- the yardstick: gpsd and its own client ------------------------------------------------- */

static int receiver = -1; /* a socket that gpsd reads as a receiver */

static void say_sentence(const char *body)
{
    char line[160];
    unsigned sum = 0;

    for (const char *p = body; *p; p++) {
        sum ^= (unsigned char)*p;
    }
    snprintf(line, sizeof line, "$%s*%02X\r\n", body, sum);
    if (send(receiver, line, strlen(line), MSG_NOSIGNAL) < 0) {
        fprintf(stderr, "receiver: %s\n", strerror(errno));
    }
}

static void say_place(int i, char wanted[32])
{
    char body[128];
    int tenths = i % 600000, minute = tenths / 600, second = tenths / 10 % 60;
    double minutes = 30.0 + 0.006 * (i % 3000); /* steps of a ten-thousandth of a degree */

    snprintf(wanted, 32, "%.4f", 46.5 + 0.0001 * (i % 3000));
    snprintf(body, sizeof body, "GPRMC,12%02d%02d.%d0,A,46%07.4f,N,01006.0000,E,0.0,0.0,010126,,",
             minute % 60, second, tenths % 10, minutes);
    say_sentence(body);
    snprintf(body, sizeof body,
             "GPGGA,12%02d%02d.%d0,46%07.4f,N,01006.0000,E,1,08,0.9,2150.0,M,50.0,M,,", minute % 60,
             second, tenths % 10, minutes);
    say_sentence(body);
}

static int listen_somewhere(int *ret_port)
{
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof address;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);

    if (fd < 0 || bind(fd, (struct sockaddr *)&address, sizeof address) < 0 || listen(fd, 4) < 0 ||
        getsockname(fd, (struct sockaddr *)&address, &size) < 0) {
        exit(2);
    }
    *ret_port = ntohs(address.sin_port);
    return fd;
}

static pid_t start_daemon(const char *gpsd, char port_text[16])
{
    char device[64];
    int port, receiver_port, server = listen_somewhere(&receiver_port);
    pid_t pid;

    close(listen_somewhere(&port)); /* free again */
    snprintf(port_text, 16, "%d", port);
    snprintf(device, sizeof device, "tcp://127.0.0.1:%d", receiver_port);
    pid = fork();
    if (pid == 0) {
        int null = open("/dev/null", O_RDWR);
        dup2(null, STDOUT_FILENO);
        dup2(null, STDERR_FILENO);
        execl(gpsd, "gpsd", "-N", "-n", "-b", "-S", port_text, device, (char *)NULL);
        _exit(127);
    }
    receiver = accept4(server, NULL, NULL, SOCK_CLOEXEC);
    close(server);
    return pid;
}

static void bench_yardstick(void)
{
    static const char gpsd[] = "/usr/sbin/gpsd", client[] = "/usr/bin/cgps";
    static struct figures figures;
    char port[16], server[32], wanted[32];
    const char *const argv[] = {client, "-s", server, NULL};
    struct tty tty;
    double begun;
    pid_t daemon;

    if (access(gpsd, X_OK) != 0 || access(client, X_OK) != 0) {
        printf("no gpsd or no gpsd-clients here: no yardstick\n");
        return;
    }
    daemon = start_daemon(gpsd, port);
    snprintf(server, sizeof server, "127.0.0.1:%s", port);
    for (int i = 0; i < 20; i++) { /* until gpsd knows what it hears */
        say_place(i, wanted);
        usleep(50000);
    }
    tty_start(&tty, &(struct tty_setup){.argv = argv, .rows = ROWS, .cols = COLS});
    begun = now_s();
    for (int i = 20; !shows(&tty, "46.5") && now_s() < begun + 10.0; i++) {
        say_place(i, wanted);
        tty_take_in(&tty, 100);
    }
    printf("yardstick: gpsd's curses client, %d x %d (through the daemon)\n", COLS, ROWS);
    measure(&tty, say_place, 10.0, 30.0, &figures);
    report("10 reports/s: line to cell, median", quantile_ms(&figures, 0.5), "ms", INFINITY);
    report("10 reports/s: line to cell, 99 %", quantile_ms(&figures, 0.99), "ms", INFINITY);
    report("10 reports/s: reports not seen", figures.lost, "", INFINITY);
    report("10 reports/s: of a core", figures.cpu_percent, "%", INFINITY);
    report("10 reports/s: to the terminal", figures.bytes_per_s / 1e3, "kB/s", INFINITY);
    measure(&tty, say_place, 200.0, 15.0, &figures);
    report("200 reports/s: of a core", figures.cpu_percent, "%", INFINITY);
    report("200 reports/s: to the terminal", figures.bytes_per_s / 1e3, "kB/s", INFINITY);
    report("resident memory, the most", status_mb(tty.pid, "VmHWM"), "MB", INFINITY);
    tty_finish(&tty);
    kill(daemon, SIGTERM);
    waitpid(daemon, NULL, 0);
    close(receiver);
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: screen PEAKWARD\n");
        return 2;
    }
    signal(SIGPIPE, SIG_IGN);
    strcpy(directory, "/tmp/peakward-bench-XXXXXX");
    if (!mkdtemp(directory)) {
        return 2;
    }
    bench_peakward(argv[1]);
    bench_yardstick();
    rmdir(directory);
    printf(misses ? "%d targets missed\n" : "all targets met\n", misses);
    return misses > 0;
}
