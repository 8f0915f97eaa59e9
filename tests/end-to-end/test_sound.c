/*
 * What is to be heard: the tone through ALSA's file plug-in (alsa-lib's manual, "PCM (digital
 * audio) plugins"), speech to a server played here (SSIP, speech-dispatcher's manual), and a device
 * that hangs, which must not be felt.
 *
 *   test_sound SOUND
 */
#include "tty.h"

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { RATE = 22050, MOST_SAMPLES = 20 * RATE, PATH_SIZE = 128 };

static const char *sound;
static char directory[64], out[PATH_SIZE], ssip[PATH_SIZE - 28], speech[PATH_SIZE];
static struct tty tty;

static double now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int set_up(void **unused)
{
    char path[PATH_SIZE];
    FILE *file;

    (void)unused;
    strcpy(directory, "/tmp/peakward-sound-XXXXXX");
    if (!mkdtemp(directory)) {
        return -1;
    }
    snprintf(out, sizeof out, "%s/out.raw", directory);
    snprintf(ssip, sizeof ssip, "%s/ssip", directory);
    snprintf(speech, sizeof speech, "unix_socket:%s", ssip);
    snprintf(path, sizeof path, "%s/.asoundrc", directory);
    file = fopen(path, "w");
    if (!file) {
        return -1;
    }
    fprintf(file, "pcm.!default { type file slave.pcm \"null\" file \"%s\" format \"raw\" }\n",
            out);
    fclose(file);
    tty = (struct tty){.pid = 0};
    return 0;
}

static int tear_down(void **unused)
{
    char command[PATH_SIZE];

    (void)unused;
    tty_finish(&tty);
    snprintf(command, sizeof command, "rm -rf %s", directory);
    return system(command);
}

/* --- the tone ------------------------------------------------------------------------------- */

static pid_t start_tone(int *ret_fd)
{
    int ends[2];
    pid_t pid;

    assert_int_equal(pipe2(ends, O_CLOEXEC), 0);
    pid = fork();
    if (pid == 0) {
        setenv("HOME", directory, 1);
        dup2(ends[0], STDIN_FILENO);
        execl(sound, "peakward-sound", "tone", (char *)NULL);
        _exit(127);
    }
    close(ends[0]);
    *ret_fd = ends[1];
    return pid;
}

static void say(int fd, const char *line, double seconds)
{
    assert_int_equal(write(fd, line, strlen(line)), strlen(line));
    usleep((useconds_t)(seconds * 1e6));
}

static size_t read_samples(int16_t *samples)
{
    FILE *file = fopen(out, "rb");
    size_t n;

    assert_non_null(file);
    n = fread(samples, sizeof *samples, MOST_SAMPLES, file);
    fclose(file);
    return n;
}

/* Frequency of n samples, from the times that they rise through 0. */
static double frequency(const int16_t *samples, size_t n)
{
    int count = -1;
    size_t first = 0, last = 0;

    for (size_t i = 1; i < n; i++) {
        if (samples[i - 1] < 0 && samples[i] >= 0) {
            first = count < 0 ? i : first;
            last = i;
            count++;
        }
    }
    return count > 0 ? count * (double)RATE / (double)(last - first) : 0.0;
}

static int loudest(const int16_t *samples, size_t n)
{
    int most = 0;

    for (size_t i = 0; i < n; i++) {
        most = abs(samples[i]) > most ? abs(samples[i]) : most;
    }
    return most;
}

static void the_tone_rises_with_the_level_and_beats_at_the_best(void **unused)
{
    static int16_t samples[MOST_SAMPLES];
    const size_t half = RATE / 2, part = RATE / 4;
    int fd, status, quietest = 32767;
    pid_t pid = start_tone(&fd);
    size_t n;

    (void)unused;
    say(fd, "quiet\n", 1.0);
    say(fd, "tone 12.0 0\n", 1.0);
    say(fd, "tone 6.0 0\n", 1.0);
    say(fd, "tone 0.0 1\n", 1.0);
    close(fd);
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_int_equal(status, 0);
    n = read_samples(samples);
    assert_in_range(n, 3 * RATE, 6 * RATE); /* by the clock, however fast the device takes it */
    assert_int_equal(loudest(samples + part, part), 0);
    /* an octave for 6 dB, the best at 880 Hz; the middle of each second */
    expect_near(frequency(samples + RATE + half, part), 220.0, 12.0);
    expect_near(frequency(samples + 2 * RATE + half, part), 440.0, 12.0);
    expect_near(frequency(samples + 3 * RATE + half, part), 880.0, 12.0);
    assert_true(loudest(samples + RATE + half, RATE / 20) > 5000);
    for (size_t i = 0; i < part; i += RATE / 100) { /* swells and falls away */
        int here = loudest(samples + 3 * RATE + half + i, RATE / 100);
        quietest = here < quietest ? here : quietest;
    }
    assert_true(quietest < 3000);
}

/* --- from the keys -------------------------------------------------------------------------- */

/* face: a flag; NULL = the screen */
static void start_peak_with(const char *face)
{
    static char log[PATH_SIZE + 8];
    const char *const argv[] = {PEAKWARD, "peak", "--job", JOB, "--log", log, face, NULL};

    snprintf(log, sizeof log, "%s/log", directory);
    tty_start(&tty, &(struct tty_setup){
                        .argv = argv, .rows = 24, .cols = 80, .home = directory, .speech = speech});
}

static void start_peak(void)
{
    start_peak_with(NULL);
    tty_expect(&tty, "q quit");
}

static void remove_log(void)
{
    char log[PATH_SIZE + 8];

    snprintf(log, sizeof log, "%s/log", directory);
    unlink(log);
}

/* Samples come to be written. */
static void expect_sound(void)
{
    double until = now_s() + 20.0;
    struct stat stat_of;

    while ((stat(out, &stat_of) < 0 || stat_of.st_size < 2 * RATE) && now_s() < until) {
        tty_settle(&tty, 100);
    }
    assert_true(stat_of.st_size >= 2 * RATE);
}

static void quit_at_once(void)
{
    double begun = now_s();

    tty_send(&tty, "qq");
    assert_int_equal(WIFEXITED(tty_expect_end(&tty)), 1);
    assert_true(now_s() - begun < 5.0);
    tty_expect_restored(&tty);
}

static void one_key_makes_the_level_heard(void **unused)
{
    (void)unused;
    start_peak();
    assert_int_equal(access(out, F_OK), -1); /* off until asked for */
    tty_send(&tty, "t");
    tty_expect(&tty, "to be heard");
    expect_sound();
    tty_send(&tty, "t");
    tty_expect(&tty, "not to be heard");
    quit_at_once();
}

static void a_word_makes_it_heard_where_there_is_no_screen(void **unused)
{
    static const char *const faces[] = {"--plain", "--json"};

    (void)unused;
    for (size_t i = 0; i < sizeof faces / sizeof *faces; i++) {
        unlink(out);
        start_peak_with(faces[i]);
        tty_expect(&tty, "transmitter");
        assert_int_equal(access(out, F_OK), -1);
        tty_send(&tty, "tone\r");
        tty_expect(&tty, "The level is to be heard");
        expect_sound();
        tty_send(&tty, "tone\r");
        tty_expect(&tty, "not to be heard");
        tty_send(&tty, "quit\r");
        assert_int_equal(WEXITSTATUS(tty_expect_end(&tty)), 1);
        tty_finish(&tty);
        remove_log();
    }
}

static void a_device_that_hangs_is_not_felt(void **unused)
{
    double begun;

    (void)unused;
    assert_int_equal(mkfifo(out, 0600), 0); /* opening it waits for a reader: there is none */
    start_peak();
    tty_send(&tty, "t");
    tty_expect(&tty, "to be heard");
    for (int i = 0; i < 10; i++) {
        begun = now_s();
        tty_send(&tty, "?");
        tty_expect(&tty, "any key goes back");
        tty_send(&tty, "x");
        tty_expect(&tty, "q quit");
        assert_true(now_s() - begun < 2.0);
    }
    quit_at_once();
}

static void without_a_sound_card_it_says_so(void **unused)
{
    char path[PATH_SIZE];
    FILE *file;

    (void)unused;
    snprintf(path, sizeof path, "%s/.asoundrc", directory);
    file = fopen(path, "w");
    assert_non_null(file);
    fprintf(file, "pcm.!default { type hw card 31 }\n");
    fclose(file);
    start_peak();
    tty_send(&tty, "t");
    tty_expect(&tty, "the sound card can't be opened");
    quit_at_once();
}

/* A speech server as far as SSIP asks: every command is answered, what is spoken is kept, of which
 * something is waited for. */
static void serve(int client, const char *said, char *spoken, size_t size, double until)
{
    char line[1024];
    bool data = false;
    size_t n = 0;

    while (now_s() < until && !strstr(spoken, said)) {
        struct pollfd poller = {.fd = client, .events = POLLIN};
        const char *answer = "200 OK\r\n";
        tty_take_in(&tty, 0);
        if (poll(&poller, 1, 50) <= 0) {
            continue;
        }
        if (read(client, line + n, 1) <= 0) {
            return;
        }
        if (line[n++] != '\n' && n + 1 < sizeof line) {
            continue;
        }
        line[n] = '\0';
        n = 0;
        if (data && strcmp(line, ".\r\n") != 0) {
            strncat(spoken, line, size - strlen(spoken) - 1);
            continue;
        }
        if (data) {
            answer = "225-1\r\n225 OK MESSAGE QUEUED\r\n";
        } else if (strncasecmp(line, "SPEAK", 5) == 0) {
            answer = "230 OK RECEIVING DATA\r\n";
        }
        data = !data && strncasecmp(line, "SPEAK", 5) == 0;
        assert_int_equal(write(client, answer, strlen(answer)), strlen(answer));
    }
}

static void one_key_has_the_coach_read_aloud(void **unused)
{
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    int server = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0), client = -1;
    double until = now_s() + 20.0;
    char spoken[4096] = "", *step;

    (void)unused;
    strcpy(address.sun_path, ssip);
    assert_int_equal(bind(server, (struct sockaddr *)&address, sizeof address), 0);
    assert_int_equal(listen(server, 1), 0);
    fcntl(server, F_SETFL, O_NONBLOCK);
    start_peak();
    tty_send(&tty, "o");
    tty_expect(&tty, "read aloud");
    while (client < 0 && now_s() < until) {
        client = accept4(server, NULL, NULL, SOCK_CLOEXEC);
        tty_settle(&tty, 20);
    }
    assert_true(client >= 0);
    tty_expect_gone(&tty, "recording 0:00"); /* before, nobody can have read it */
    tty_expect_gone(&tty, "recording 0:01");
    tty_send(&tty, "\r"); /* the next caution */
    serve(client, "heavy lifting", spoken, sizeof spoken, until);
    close(client);
    close(server);
    /* at once, or the step's name were cut off by what it asks */
    step = strstr(spoken, "Step 2 of");
    if (!step || !strstr(step, "heavy lifting") ||
        strchr(step, '\n') < strstr(step, "heavy lifting")) {
        fail_msg("spoken was: %s", spoken);
    }
    quit_at_once();
}

static void without_a_speech_server_it_says_so(void **unused)
{
    (void)unused;
    start_peak();
    tty_send(&tty, "o");
    tty_expect(&tty, "read aloud");
    tty_expect(&tty, "no speech server answers");
    quit_at_once();
}

#define SOUND_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        SOUND_TEST(the_tone_rises_with_the_level_and_beats_at_the_best),
        SOUND_TEST(one_key_makes_the_level_heard),
        SOUND_TEST(a_word_makes_it_heard_where_there_is_no_screen),
        SOUND_TEST(a_device_that_hangs_is_not_felt),
        SOUND_TEST(without_a_sound_card_it_says_so),
        SOUND_TEST(one_key_has_the_coach_read_aloud),
        SOUND_TEST(without_a_speech_server_it_says_so),
    };

    if (argc != 2) {
        return 2;
    }
    signal(SIGPIPE, SIG_IGN);
    sound = argv[1];
    return cmocka_run_group_tests(tests, NULL, NULL);
}
