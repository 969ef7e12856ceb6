#include "vet/finds.h"

#include <string.h>

struct find *finds_better(struct finds *finds, enum vet_verdict kind,
                          const struct finding *finding, int length, struct arena *arena)
{
    for (int i = 0; i < finds->count; i++) {
        struct find *find = finds->at[i];
        if (find->kind == kind && (!finding || finding_same(&find->finding, finding)))
            return length < find->length ? find : NULL;
    }
    if (finds->count == FINDS_MAX)
        return NULL;
    struct find *find = arena_alloc(arena, sizeof *find);
    finds->at[finds->count++] = find;
    *find = (struct find){.kind = kind, .length = length};
    if (finding)
        find->finding = *finding;
    return find;
}

void finds_report(const struct finds *finds, struct vet_report *report)
{
    for (int length = 0; length <= VET_WAY_MAX; length++)
        for (int i = 0; i < finds->count; i++) {
            const struct find *find = finds->at[i];
            if (find->length != length || report->found_count == VET_FOUND_MAX)
                continue;
            struct vet_found *found = &report->found[report->found_count++];
            *found = (struct vet_found){.kind = find->kind,
                                        .finding = find->finding,
                                        .begin = find->begin,
                                        .way_count = (uint8_t)find->way_count};
            memcpy(found->way, find->way, (size_t)find->way_count * sizeof found->way[0]);
        }
    report->verdict = vet_verdict_of(report);
}

enum vet_verdict vet_verdict_of(const struct vet_report *report)
{
    bool has[VET_UNDECIDED + 1] = {false};
    for (int i = 0; i < report->found_count; i++)
        has[report->found[i].kind] = true;
    return has[VET_BROKEN]      ? VET_BROKEN
           : has[VET_STALL]     ? VET_STALL
           : has[VET_WRONG_END] ? VET_WRONG_END
                                : VET_SAFE;
}
