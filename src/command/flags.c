#include "command/flags.h"

#include <errno.h>
#include <getopt.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/spelling.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"

/* Rows are numbered beyond the letters. */
enum { MOST_FLAGS = 32, FIRST_FLAG = 1000, HEAD_SIZE = 80 };

/* Own flags and common ones in one list. Returns how many. */
static int gather(const struct flag_command *command, const struct flag *ret_rows[MOST_FLAGS])
{
    const struct flag *lists[] = {command->common, command->flags};
    int count = 0;

    for (int i = 0; i < 2; i++) {
        for (const struct flag *flag = lists[i]; flag && flag->name && count < MOST_FLAGS; flag++) {
            ret_rows[count++] = flag;
        }
    }
    return count;
}

/* What getopt_long() calls a row. */
static int value_of(const struct flag *const *rows, int i)
{
    return rows[i]->letter ? rows[i]->letter : FIRST_FLAG + i;
}

/* The row that getopt_long() means; -1 = none. */
static int find(const struct flag *const *rows, int count, int value)
{
    int i = count;

    while (i-- > 0 && value_of(rows, i) != value) {
    }
    return i;
}

/* --- help ----------------------------------------------------------------------------------- */

/* Characters of a text, not bytes: what it takes on the screen. */
static int width_of(const char *text)
{
    int width = 0;

    for (; *text; text++) {
        width += ((unsigned char)*text & 0xc0) != 0x80;
    }
    return width;
}

static void name_flag(const struct flag *flag, char text[HEAD_SIZE])
{
    char letter[8] = "  ";

    if (flag->letter) {
        snprintf(letter, sizeof letter, "  -%c, ", flag->letter);
    }
    snprintf(text, HEAD_SIZE, "%s--%s%s%s", letter, flag->name, flag->value ? " " : "",
             flag->value ? _(flag->value) : "");
}

static void print_row(const struct flag *flag, int columns)
{
    const char *text = _(flag->help);
    char head[HEAD_SIZE];

    name_flag(flag, head);
    while (*text) {
        int length = (int)strcspn(text, "\n");
        command_say("%s%*s%.*s\n", head, columns - width_of(head), "", length, text);
        text += length + (text[length] == '\n');
        head[0] = '\0';
    }
}

static void print_help(const struct flag_command *command, const struct flag *const *rows,
                       int count)
{
    static const struct flag help = {.name = "help", .help = N_("this text")};
    int columns = 0;

    for (int i = 0; i < count; i++) {
        char head[HEAD_SIZE];
        name_flag(rows[i], head);
        columns = width_of(head) + 2 > columns ? width_of(head) + 2 : columns;
    }
    command_say("%s\n", _(command->usage));
    for (int i = 0; i < count; i++) {
        print_row(rows[i], columns);
    }
    print_row(&help, columns);
}

/* --- reading -------------------------------------------------------------------------------- */

/* The flag that was probably meant, as a hint; or where to look. */
static void complain_unknown(const char *command, const char *given, const struct flag *const *rows,
                             int count)
{
    char word[64], hint[128];
    struct spelling spelling;

    text_copy(word, sizeof word, given + strspn(given, "-"));
    word[strcspn(word, "=")] = '\0';
    spelling_start(&spelling, word);
    for (int i = 0; i < count; i++) {
        spelling_try(&spelling, rows[i]->name);
    }
    spelling_try(&spelling, "help");
    if (spelling.nearest) {
        snprintf(hint, sizeof hint, _("perhaps --%s was meant"), spelling.nearest);
    } else {
        snprintf(hint, sizeof hint, _("see peakward %s --help"), command);
    }
    command_complain(given, _("no such flag"), hint);
}

static void fill(const struct flag *flag, void *into, const char *value)
{
    void *at = (char *)into + flag->at;
    struct flag_texts *texts = at;

    switch (flag->kind) {
    case FLAG_ON:
        *(bool *)at = true;
        break;
    case FLAG_IS:
        *(const void **)at = flag->is;
        break;
    case FLAG_TEXT:
        *(const char **)at = value;
        break;
    case FLAG_TEXTS:
        if (texts->count < FLAG_MOST_TEXTS) {
            texts->text[texts->count++] = value;
        }
        break;
    }
}

int flags_read(int argc, char **argv, const struct flag_command *command, void *into,
               int *ret_first)
{
    const struct flag *rows[MOST_FLAGS];
    struct option table[MOST_FLAGS + 2] = {{NULL, 0, NULL, 0}};
    int count = gather(command, rows), option, row;
    char letter[3] = "-?", letters[2 * MOST_FLAGS + 4] = ":h";

    for (int i = 0; i < count; i++) {
        table[i] = (struct option){.name = rows[i]->name,
                                   .has_arg = rows[i]->value ? required_argument : no_argument,
                                   .val = value_of(rows, i)};
        if (rows[i]->letter) {
            text_append(letters, sizeof letters, "%c%s", rows[i]->letter,
                        rows[i]->value ? ":" : "");
        }
    }
    table[count] = (struct option){.name = "help", .has_arg = no_argument, .val = 'h'};
    opterr = 0;
    while ((option = getopt_long(argc, argv, letters, table, NULL)) != -1) {
        const char *given = argv[optind - 1];
        row = option != ':' && option != '?' ? find(rows, count, option) : -1;
        if (row >= 0) {
            fill(rows[row], into, optarg);
            continue;
        }
        if (option == 'h') {
            print_help(command, rows, count);
            return 1;
        }
        if (option == ':') {
            command_complain(given, _("the value is missing"), _("give it behind the flag"));
        } else if (find(rows, count, optopt) >= 0 || optopt == 'h') {
            command_complain(given, _("this flag takes no value"),
                             _("leave the = and the value away"));
        } else {
            letter[1] = (char)optopt;
            complain_unknown(command->name, optopt > 0 ? letter : given, rows, count);
        }
        return -EINVAL;
    }
    *ret_first = optind;
    return 0;
}
