#include "view/letters.h"

#include <string.h>

#include "base/tongue.h"

enum { PIXEL_ROWS = 6, SMALL_ROWS = 3 };

/* Six rows of pixels each; '#' is ink. Drawn for this program. */
struct letter {
    uint32_t code;
    const char *rows[PIXEL_ROWS];
};

static const struct letter letters[] = {
    {'0', {"####", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'1', {".##.", "..#.", "..#.", "..#.", "..#.", ".###"}},
    {'2', {"####", "...#", "...#", "####", "#...", "####"}},
    {'3', {"####", "...#", ".###", "...#", "...#", "####"}},
    {'4', {"#..#", "#..#", "#..#", "####", "...#", "...#"}},
    {'5', {"####", "#...", "####", "...#", "...#", "####"}},
    {'6', {"####", "#...", "####", "#..#", "#..#", "####"}},
    {'7', {"####", "...#", "..#.", "..#.", ".#..", ".#.."}},
    {'8', {"####", "#..#", "####", "#..#", "#..#", "####"}},
    {'9', {"####", "#..#", "#..#", "####", "...#", "####"}},
    {'.', {".", ".", ".", ".", ".", "#"}},
    {'-', {"...", "...", "###", "...", "...", "..."}},
    {'+', {"...", "...", ".#.", "###", ".#.", "..."}},
    {'<', {"....", "..##", "##..", "##..", "..##", "...."}},
    {'/', {"...#", "..#.", "..#.", ".#..", ".#..", "#..."}},
    {'%', {"#..#", "...#", "..#.", ".#..", "#...", "#..#"}},
    {'?', {"####", "...#", ".###", ".#..", "....", ".#.."}},
    {' ', {"..", "..", "..", "..", "..", ".."}},
    {0x00b0, {"###", "#.#", "###", "...", "...", "..."}},
    {'A', {".##.", "#..#", "#..#", "####", "#..#", "#..#"}},
    {'B', {"###.", "#..#", "###.", "#..#", "#..#", "###."}},
    {'C', {"####", "#...", "#...", "#...", "#...", "####"}},
    {'D', {"###.", "#..#", "#..#", "#..#", "#..#", "###."}},
    {'E', {"####", "#...", "###.", "#...", "#...", "####"}},
    {'F', {"####", "#...", "###.", "#...", "#...", "#..."}},
    {'G', {"####", "#...", "#.##", "#..#", "#..#", "####"}},
    {'H', {"#..#", "#..#", "####", "#..#", "#..#", "#..#"}},
    {'I', {"#", "#", "#", "#", "#", "#"}},
    {'J', {"...#", "...#", "...#", "...#", "#..#", "####"}},
    {'K', {"#..#", "#.#.", "##..", "##..", "#.#.", "#..#"}},
    {'L', {"#...", "#...", "#...", "#...", "#...", "####"}},
    {'M', {"#...#", "##.##", "#.#.#", "#...#", "#...#", "#...#"}},
    {'N', {"#..#", "##.#", "##.#", "#.##", "#.##", "#..#"}},
    {'O', {"####", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'P', {"####", "#..#", "#..#", "####", "#...", "#..."}},
    {'Q', {"####", "#..#", "#..#", "#..#", "#.##", "####"}},
    {'R', {"####", "#..#", "#..#", "###.", "#.#.", "#..#"}},
    {'S', {"####", "#...", "####", "...#", "...#", "####"}},
    {'T', {"#####", "..#..", "..#..", "..#..", "..#..", "..#.."}},
    {'U', {"#..#", "#..#", "#..#", "#..#", "#..#", "####"}},
    {'V', {"#...#", "#...#", "#...#", ".#.#.", ".#.#.", "..#.."}},
    {'W', {"#...#", "#...#", "#...#", "#.#.#", "##.##", "#...#"}},
    {'X', {"#...#", ".#.#.", "..#..", "..#..", ".#.#.", "#...#"}},
    {'Y', {"#...#", ".#.#.", "..#..", "..#..", "..#..", "..#.."}},
    {'Z', {"####", "...#", "..#.", ".#..", "#...", "####"}},
};

/* The same in three rows of ASCII strokes; what is missing is written small. */
static const struct {
    char code;
    const char *rows[SMALL_ROWS];
} strokes[] = {
    {'0', {" _ ", "| |", "|_|"}}, {'1', {"   ", "  |", "  |"}}, {'2', {" _ ", " _|", "|_ "}},
    {'3', {" _ ", " _|", " _|"}}, {'4', {"   ", "|_|", "  |"}}, {'5', {" _ ", "|_ ", " _|"}},
    {'6', {" _ ", "|_ ", "|_|"}}, {'7', {" _ ", "  |", "  |"}}, {'8', {" _ ", "|_|", "|_|"}},
    {'9', {" _ ", "|_|", " _|"}}, {'.', {" ", " ", "o"}},       {'-', {"  ", "__", "  "}},
    {'+', {"   ", " | ", "-+-"}}, {'/', {"   ", "  /", " / "}}, {' ', {" ", " ", " "}},
};

static const struct letter signs[] = {
    {SIGN_RIGHT,
     {"......##...", "......####.", "###########", "###########", "......####.", "......##..."}},
    {SIGN_LEFT,
     {"...##......", ".####......", "###########", "###########", ".####......", "...##......"}},
    {SIGN_UP,
     {".....#.....", "...#####...", ".#########.", "....###....", "....###....", "....###...."}},
    {SIGN_DOWN,
     {"....###....", "....###....", "....###....", ".#########.", "...#####...", ".....#....."}},
    {SIGN_CLOCKWISE,
     {"..#####....", ".##...##...", "##.....##..", "##...######", "......####.", ".......##.."}},
    {SIGN_ANTICLOCKWISE,
     {"....#####..", "...##...##.", "..##.....##", "######...##", ".####......", "..##......."}},
    {SIGN_RIGHT_EDGE,
     {"#######.###", "#.....#.###", "#.....#.###", "#.....#.###", "#.....#.###", "#######.###"}},
    {SIGN_UPPER_EDGE,
     {".#########.", ".#########.", "...........", ".#########.", ".#.......#.", ".#########."}},
};

static const struct {
    enum letters_sign sign;
    const char *rows[SMALL_ROWS];
} stroke_signs[] = {
    {SIGN_RIGHT, {"      \\   ", "========> ", "      /   "}},
    {SIGN_LEFT, {"   /      ", " <========", "   \\      "}},
    {SIGN_UP, {"    /\\    ", "   /||\\   ", "    ||    "}},
    {SIGN_DOWN, {"    ||    ", "   \\||/   ", "    \\/    "}},
    {SIGN_CLOCKWISE, {"  .---.   ", " (    \\/  ", "          "}},
    {SIGN_ANTICLOCKWISE, {"   .---.  ", "  \\/    ) ", "          "}},
    {SIGN_RIGHT_EDGE, {" ____ ##  ", "|    |##  ", "|____|##  "}},
    {SIGN_UPPER_EDGE, {" ######## ", "  ______  ", " |______| "}},
};

static bool is_ascii(const struct pane *pane)
{
    return pane->sheet->glyphs == GLYPHS_ASCII;
}

static bool has_ink(const struct letter *letter, struct letters_size size, int x, int y)
{
    return y / size.down < PIXEL_ROWS && letter->rows[y / size.down][x / size.across] == '#';
}

static int put_letter(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                      const struct letter *letter)
{
    static const uint32_t halves[4] = {0, 0x2580, 0x2584, 0x2588};
    int width = (int)strlen(letter->rows[0]) * size.across;

    for (int row = 0; row < letters_rows(pane, size); row++) {
        for (int x = 0; x < width; x++) {
            if (is_ascii(pane)) {
                pane_cell(pane, row, col + x, ink, has_ink(letter, size, x, row) ? '#' : 0);
            } else {
                int half = has_ink(letter, size, x, 2 * row) | has_ink(letter, size, x, 2 * row + 1)
                                                                   << 1;
                pane_cell(pane, row, col + x, ink, halves[half]);
            }
        }
    }
    return col + width;
}

static int put_strokes(const struct pane *pane, int col, enum ink ink, const char *const *rows)
{
    for (int row = 0; row < SMALL_ROWS; row++) {
        for (int x = 0; rows[row][x]; x++) {
            pane_cell(pane, row, col + x, ink,
                      rows[row][x] == ' ' ? 0 : (uint32_t)(unsigned char)rows[row][x]);
        }
    }
    return col + (int)strlen(rows[0]);
}

/* One character; what has no strokes stands small in the middle row. */
static int put_small(const struct pane *pane, int col, enum ink ink, uint32_t code)
{
    for (size_t i = 0; i < sizeof strokes / sizeof *strokes; i++) {
        if ((uint32_t)strokes[i].code == code) {
            return put_strokes(pane, col, ink, strokes[i].rows);
        }
    }
    if (code == 0xb0) {
        return pane_put(pane, 1, col, ink, _(" deg"));
    }
    pane_cell(pane, 1, col, ink, code);
    return col + 1;
}

static const struct letter *find_letter(const struct letter *list, size_t n, uint32_t code)
{
    for (size_t i = 0; i < n; i++) {
        if (list[i].code == code) {
            return &list[i];
        }
    }
    return NULL;
}

int letters_put(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                const char *text)
{
    for (bool first = true; *text; first = false) {
        const struct letter *letter;
        uint32_t code;
        text += glyphs_next(text, &code);
        if (size.down == 0) {
            col = put_small(pane, col, ink, code);
            continue;
        }
        letter = find_letter(letters, sizeof letters / sizeof *letters, code);
        if (letter) {
            col = put_letter(pane, size, col + (first ? 0 : size.across), ink, letter);
        }
    }
    return col;
}

int letters_rows(const struct pane *pane, struct letters_size size)
{
    int pixels = PIXEL_ROWS * size.down;

    if (pixels == 0) {
        return SMALL_ROWS;
    }
    return is_ascii(pane) ? pixels : (pixels + 1) / 2;
}

int letters_put_sign(const struct pane *pane, struct letters_size size, int col, enum ink ink,
                     enum letters_sign sign)
{
    const struct letter *drawn = find_letter(signs, sizeof signs / sizeof *signs, sign);

    if (!drawn) {
        return col;
    }
    if (size.down > 0) {
        return put_letter(pane, size, col, ink, drawn);
    }
    for (size_t i = 0; i < sizeof stroke_signs / sizeof *stroke_signs; i++) {
        if (stroke_signs[i].sign == sign) {
            return put_strokes(pane, col, ink, stroke_signs[i].rows);
        }
    }
    return col;
}

int letters_put_line(const struct pane *pane, struct letters_size size, enum ink ink,
                     enum letters_sign sign, const char *text)
{
    int col = letters_put_sign(pane, size, 0, ink, sign);

    return letters_put(pane, size, col > 0 ? col + LETTERS_GAP : 0, ink, text);
}

struct letters_size letters_fit(const struct pane *pane, enum letters_sign sign, const char *text)
{
    struct pane nowhere = {.sheet = pane->sheet, .rows = pane->rows, .cols = 0};
    int most = (is_ascii(pane) ? pane->rows : 2 * pane->rows) / PIXEL_ROWS;

    for (int down = most; down > 0; down--) {
        /* half blocks are square, whole characters twice as high as wide */
        int widest = is_ascii(pane) ? 2 * down : down;
        for (int across = widest; 2 * across >= down; across--) {
            struct letters_size size = {across, down};
            if (letters_put_line(&nowhere, size, INK_PLAIN, sign, text) <= pane->cols) {
                return size;
            }
        }
    }
    return most > 0 && !is_ascii(pane) ? (struct letters_size){1, 1} : (struct letters_size){0, 0};
}
