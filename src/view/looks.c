#include "view/looks.h"

#include <string.h>

static const char *const names[LOOK_COUNT] = {
    [LOOK_OWN] = "own",
    [LOOK_DARK] = "dark",
    [LOOK_SUNLIGHT] = "sunlight",
    [LOOK_MONO] = "mono",
};

/* Indices: of 256, of 16 (bright ones from 8 on), of 8; -1 = the terminal's own. */
struct shade {
    short of_256, of_16, of_8;
};

enum { BLACK, RED, GREEN, YELLOW, BLUE, MAGENTA, CYAN, WHITE, BRIGHT };

static const struct {
    struct shade paper, text;
    struct shade inks[INK_COUNT]; /* all 0 = as text */
} palettes[] = {
    [LOOK_OWN] = {{-1, -1, -1},
                  {-1, -1, -1},
                  {[INK_GOOD] = {28, GREEN, GREEN},
                   [INK_WARN] = {166, MAGENTA, MAGENTA},
                   [INK_BAD] = {160, RED, RED},
                   [INK_BEST] = {28, GREEN, GREEN},
                   [INK_KEY] = {32, CYAN, CYAN}}},
    [LOOK_DARK] = {{16, BLACK, BLACK},
                   {252, WHITE, WHITE},
                   {[INK_FAINT] = {248, WHITE, WHITE},
                    [INK_STRONG] = {231, BRIGHT + WHITE, WHITE},
                    [INK_GOOD] = {83, BRIGHT + GREEN, GREEN},
                    [INK_WARN] = {215, BRIGHT + YELLOW, YELLOW},
                    [INK_BAD] = {210, BRIGHT + RED, WHITE},
                    [INK_TRACE] = {231, BRIGHT + WHITE, WHITE},
                    [INK_BEST] = {83, BRIGHT + GREEN, GREEN},
                    [INK_KEY] = {117, BRIGHT + CYAN, CYAN}}},
    [LOOK_SUNLIGHT] = {{231, BRIGHT + WHITE, WHITE},
                       {16, BLACK, BLACK},
                       {[INK_GOOD] = {22, BLACK, BLACK},
                        [INK_WARN] = {88, BLACK, BLACK},
                        [INK_BAD] = {124, RED, RED},
                        [INK_BEST] = {22, BLACK, BLACK},
                        [INK_KEY] = {18, BLUE, BLUE}}},
};

/* What stands out without colour. */
static const struct looks_style weights[INK_COUNT] = {
    [INK_STRONG] = {.bold = true}, [INK_GOOD] = {.bold = true},
    [INK_WARN] = {.bold = true},   [INK_BAD] = {.bold = true, .reversed = true},
    [INK_TRACE] = {.bold = true},  [INK_BAR] = {.reversed = true},
    [INK_KEY] = {.bold = true},
};

const char *looks_name(enum looks look)
{
    return names[look];
}

bool looks_parse(const char *name, enum looks *ret_look)
{
    for (int i = 0; i < LOOK_COUNT; i++) {
        if (strcmp(name, names[i]) == 0) {
            *ret_look = (enum looks)i;
            return true;
        }
    }
    return false;
}

static int pick(const struct shade *shade, int colours)
{
    return colours >= 256 ? shade->of_256 : colours >= 16 ? shade->of_16 : shade->of_8;
}

static bool is_given(const struct shade *shade)
{
    return shade->of_256 != 0 || shade->of_16 != 0 || shade->of_8 != 0;
}

struct looks_style looks_style(enum looks look, enum ink ink, int colours)
{
    struct looks_style style = weights[ink];

    style.text = style.paper = -1;
    /* on white paper in the sun thin strokes vanish */
    style.bold = style.bold || look == LOOK_SUNLIGHT;
    if (look == LOOK_MONO || colours < 8) {
        style.underlined = ink == INK_WARN || ink == INK_KEY;
        style.reversed = style.reversed != (look == LOOK_SUNLIGHT);
        return style;
    }
    style.paper = pick(&palettes[look].paper, colours);
    style.text =
        pick(is_given(&palettes[look].inks[ink]) ? &palettes[look].inks[ink] : &palettes[look].text,
             colours);
    return style;
}
