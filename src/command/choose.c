#include "command/choose.h"

#include "cards/words.h"

#include <stdlib.h>
#include <string.h>

void choose_start(struct chosen *chosen)
{
    const char *units = getenv("FOREGUY_UNITS");
    *chosen = (struct chosen){.load = {.board = BOARD_STARBOARD}, .wind = ""};
    if (units && *units && choose_units(chosen, units))
        fprintf(stderr, "foreguy: FOREGUY_UNITS is metric or us, not '%s'\n", units);
}

const char *choose_units(struct chosen *chosen, const char *word)
{
    return units_read(word, &chosen->units) ? NULL : "units are metric or us";
}

bool choose_board(struct chosen *chosen, const char *word)
{
    bool port = strcmp(word, "port") == 0;
    if (!port && strcmp(word, "starboard") != 0)
        return false;
    chosen->load.board = port ? BOARD_PORT : BOARD_STARBOARD;
    return true;
}

bool choose_option(struct chosen *chosen, const char *word)
{
    if (chosen->load.option_count == CHOICE_OPTIONS_MAX)
        return false;
    chosen->options[chosen->load.option_count++] = word;
    return true;
}

const char *choose_wind(struct chosen *chosen, const char *words)
{
    enum weather_wrong wrong = weather_read(words, &chosen->weather);
    chosen->wind = words;
    return wrong ? words_weather_wrong(wrong) : NULL;
}

const char *choose_options_text(const struct chosen *chosen, struct arena *arena)
{
    const char *text = "";
    for (int i = 0; i < chosen->load.option_count; i++)
        text = arena_printf(arena, "%s%s%s", text, i ? " " : "", chosen->options[i]);
    return text;
}

static const char *crew_or_boat_path(struct context *context, const char *named,
                                     const char *file, const char *demo)
{
    if (named)
        return named;
    const char *own = context_find_config(context, file);
    return own ? own : context_find_data(context, demo);
}

static bool is_named(const char *list, const char *name)
{
    size_t length = strlen(name);
    for (const char *at = list; *at;) {
        size_t word = strcspn(at, ",");
        if (word == length && memcmp(at, name, length) == 0)
            return true;
        at += word + (at[word] == ',');
    }
    return false;
}

static int count_words(const char *list)
{
    int count = 1;
    for (; *list; list++)
        count += *list == ',';
    return count;
}

static const struct crew *only_named(struct context *context, const struct crew *crew,
                                     const char *list)
{
    struct crew *copy = arena_alloc(context->arena, sizeof *copy);
    struct hand *hands =
        arena_alloc(context->arena, crew->hand_count * sizeof *crew->hands + 1);
    *copy = *crew;
    copy->hands = hands;
    int found = 0;
    for (int h = 0; h < crew->hand_count; h++) {
        hands[h] = crew->hands[h];
        hands[h].aboard = is_named(list, hands[h].name);
        found += hands[h].aboard;
    }
    if (found == count_words(list))
        return copy;
    fprintf(stderr, "foreguy: not all of '%s' are in the crew %s; the hands are:", list,
            crew->source->name);
    for (int h = 0; h < crew->hand_count; h++)
        fprintf(stderr, "%s%s", h ? ", " : " ", crew->hands[h].name);
    fputs("\n", stderr);
    return NULL;
}

const struct crew *choose_crew(struct context *context, const struct chosen *chosen)
{
    const char *path =
        crew_or_boat_path(context, chosen->crew_path, "crew.yaml", "demo/crew.yaml");
    if (!path) {
        fputs("foreguy: there is no crew file; name one with --crew FILE\n", stderr);
        return NULL;
    }
    const struct source *source = context_read(context, path);
    const struct crew *crew =
        source ? load_crew(source, context->arena, context->diags) : NULL;
    if (crew && chosen->hands)
        return only_named(context, crew, chosen->hands);
    return crew;
}

const struct boat *choose_boat(struct context *context, const struct chosen *chosen)
{
    const char *path =
        crew_or_boat_path(context, chosen->boat_path, "boat.yaml", "demo/boat.yaml");
    if (!path) {
        fputs("foreguy: there is no boat file; name one with --boat FILE\n", stderr);
        return NULL;
    }
    const struct source *source = context_read(context, path);
    const struct boat *boat =
        source ? load_boat(source, context->arena, context->diags) : NULL;
    bool taken = boat && library_take_boat(&context->library, boat, context->arena,
                                           context->diags);
    context->library.weather = chosen->weather;
    return taken ? boat : NULL;
}

bool choose_files(struct context *context, struct chosen *chosen, const char *name,
                  struct chosen_files *out)
{
    context_fill_library(context);
    const struct source *source = context_procedure(context, name);
    *out = (struct chosen_files){.boat = choose_boat(context, chosen)};
    chosen->load.options = chosen->options;
    if (source && out->boat)
        out->procedure = library_load(&context->library, source, &chosen->load,
                                      context->arena, context->diags);
    out->crew = out->procedure ? choose_crew(context, chosen) : NULL;
    return !context_report(context) && out->procedure && out->crew;
}
