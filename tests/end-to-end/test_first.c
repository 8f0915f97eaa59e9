/* The first run: peakward alone asks, listens to the meter, writes a job file that works, goes on.
 */
#include "tty.h"

#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { PATH_SIZE = 160 };

static char directory[64], job_path[PATH_SIZE];
static struct tty tty;
static int master = -1;

static int set_up(void **unused)
{
    (void)unused;
    strcpy(directory, "/tmp/peakward-first-XXXXXX");
    tty = (struct tty){.pid = 0};
    if (!mkdtemp(directory)) {
        return -1;
    }
    snprintf(job_path, sizeof job_path, "%s/peakward.job", directory);
    return 0;
}

static int tear_down(void **unused)
{
    char command[PATH_SIZE];

    (void)unused;
    tty_finish(&tty);
    if (master >= 0) {
        close(master);
        master = -1;
    }
    snprintf(command, sizeof command, "rm -rf %s", directory);
    return system(command);
}

static void start(void)
{
    static const char *const argv[] = {PEAKWARD, NULL};

    tty_start(
        &tty,
        &(struct tty_setup){
            .argv = argv, .rows = 40, .cols = 120, .home = directory, .directory = directory});
}

static void answer(const char *question, const char *text)
{
    tty_expect(&tty, question);
    tty_settle(&tty, 20);
    tty_send(&tty, text);
    tty_send(&tty, "\r");
}

static void answer_up_to_the_meter(void)
{
    answer("Which job file", "");
    tty_expect(&tty, "Looking for a position");
    tty_send(&tty, "\r"); /* while it looks: that is no answer to what is asked next */
    answer("Where is the antenna", "46.6");
    answer("give latitude and longitude", "46.6,10.1,2200");
    answer("What is the satellite called", "Ptarmigan 1");
    answer("At which longitude", "nowhere"); /* said to be wrong, and asked again */
    tty_expect(&tty, "longitude = nowhere: allowed is");
    answer("At which longitude", "22.4E");
    answer("Which polarisation", "V");
    answer("when it is locked", "PTARMIGAN");
    answer("How large is the dish", "0.75");
    answer("At which frequency", "");
    tty_expect(&tty, "the beam follows from size and frequency");
    answer("At which frequency", "11.7");
    answer("Degrees of azimuth", "1.5");
    answer("Degrees of elevation", "");
    answer("How are its angles known", "nudges");
}

static void read_job(char text[4096])
{
    FILE *file = fopen(job_path, "r");

    assert_non_null(file);
    text[fread(text, 1, 4095, file)] = '\0';
    fclose(file);
}

/* A meter on a pseudo-terminal, by the name that is written here. */
static void make_meter(char device[PATH_SIZE])
{
    char name[64];
    int slave;

    assert_int_equal(openpty(&master, &slave, name, NULL, NULL), 0);
    fcntl(master, F_SETFL, O_NONBLOCK);
    fcntl(master, F_SETFD, FD_CLOEXEC);
    snprintf(device, PATH_SIZE, "%s/meter", directory);
    assert_int_equal(symlink(name, device), 0);
    close(slave);
}

/* It speaks while it is listened to, which is for 3 s. */
static void let_it_speak(void)
{
    static const char line[] = "SNR=12.1dB LOCK 1\r\n";

    tty_expect(&tty, "Listening to");
    for (int i = 0; i < 60; i++) {
        ssize_t n = write(master, line, sizeof line - 1);
        (void)n;
        tty_take_in(&tty, 50);
    }
    tty_expect(&tty, "  SNR=12.1dB LOCK 1");
}

static void the_answers_become_a_job_that_runs(void **unused)
{
    char device[PATH_SIZE], text[4096];

    (void)unused;
    make_meter(device);
    start();
    answer_up_to_the_meter();
    answer("port", device);
    answer("At how many baud", "");
    let_it_speak();
    answer("Enter: SNR={level}dB LOCK {lock}", "");
    tty_expect(&tty, "read so it says: level 12.1, lock");
    answer("In which unit", "");
    tty_expect(&tty, "q quit");
    tty_expect(&tty, "Step 1 of");
    tty_send(&tty, "qq");
    assert_int_equal(WIFEXITED(tty_expect_end(&tty)), 1);
    tty_expect_restored(&tty);
    read_job(text);
    assert_non_null(strstr(text, "[site]\nlat = 46.6\n"));
    assert_non_null(strstr(text, "longitude = 22.4E"));
    assert_null(strstr(text, "elevation_turn"));
    assert_non_null(strstr(text, "pattern = SNR={level}dB LOCK {lock}"));
    assert_non_null(strstr(text, "unit = dB"));
    assert_non_null(strstr(text, "azimuth_from = nudges"));
}

static void a_slip_is_mended_on_the_way(void **unused)
{
    char device[PATH_SIZE], text[4096];

    (void)unused;
    make_meter(device);
    start();
    answer_up_to_the_meter();
    tty_expect(&tty, "from there it stands at azimuth 163.3\u00b0, elevation 35.1\u00b0");
    answer("port", "back");
    answer("How are its angles known", "back");
    answer("Degrees of elevation", "back");
    answer("Degrees of azimuth for one turn of its bolt (Enter: 1.5)", "1.25");
    answer("Degrees of elevation", "");
    answer("How are its angles known", "scale");
    answer("port", device);
    answer("At how many baud", "");
    answer("nothing came", ""); /* another speed, then */
    answer("At how many baud does it speak (Enter: 9600)", "4800");
    let_it_speak();
    answer("Enter: SNR=", "C/N {level}");
    tty_expect(&tty, "that reads none of these lines");
    answer("Enter: SNR=", "SNR={level}dB{skip}");
    tty_expect(&tty, "read so it says: level 12.1\n");
    answer("In which unit", "");
    tty_expect(&tty, "q quit");
    tty_send(&tty, "qq");
    tty_expect_end(&tty);
    read_job(text);
    assert_non_null(strstr(text, "azimuth_turn = 1.25\n"));
    assert_non_null(strstr(text, "azimuth_from = scale\n"));
    assert_non_null(strstr(text, "baud = 4800\n"));
    assert_non_null(strstr(text, "pattern = SNR={level}dB{skip}\n"));
    assert_null(strstr(text, "nudges"));
}

/* East taken for west: said at once, not after all questions. */
static void a_satellite_below_the_horizon_is_asked_for_again(void **unused)
{
    (void)unused;
    start();
    answer("Which job file", "");
    answer("Where is the antenna", "46.6,10.1,2200");
    answer("What is the satellite called", "");
    answer("At which longitude", "95W");
    answer("below the horizon", "22.4E");
    tty_expect(&tty, "Which polarisation");
}

static void the_file_is_taken_the_next_time(void **unused)
{
    (void)unused;
    start();
    answer_up_to_the_meter();
    answer("port", "");
    tty_expect(&tty, "q quit");
    tty_send(&tty, "qq");
    tty_expect_end(&tty);
    tty_finish(&tty);
    start();
    answer("which is there", "");
    tty_expect(&tty, "q quit");
    tty_send(&tty, "qq");
    tty_expect_end(&tty);
}

static void who_gives_up_leaves_nothing_behind(void **unused)
{
    (void)unused;
    start();
    answer("Which job file", "");
    tty_expect(&tty, "Where is the antenna");
    tty_settle(&tty, 20);
    tty_send(&tty, "\x04");
    assert_int_equal(WEXITSTATUS(tty_expect_end(&tty)), 1);
    tty_expect(&tty, "Nothing was written");
    assert_int_equal(access(job_path, F_OK), -1);
}

static void a_folder_that_cannot_be_written_to_is_told_of_before_the_questions(void **unused)
{
    (void)unused;
    start();
    answer("Which job file", "no-such-folder/peakward.job");
    assert_int_equal(WEXITSTATUS(tty_expect_end(&tty)), 1);
    tty_expect(&tty, "begin again in a folder that may be written to");
}

#define FIRST_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        FIRST_TEST(the_answers_become_a_job_that_runs),
        FIRST_TEST(a_slip_is_mended_on_the_way),
        FIRST_TEST(a_satellite_below_the_horizon_is_asked_for_again),
        FIRST_TEST(the_file_is_taken_the_next_time),
        FIRST_TEST(who_gives_up_leaves_nothing_behind),
        FIRST_TEST(a_folder_that_cannot_be_written_to_is_told_of_before_the_questions),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
