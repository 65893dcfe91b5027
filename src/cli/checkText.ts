import type { CheckRow } from '../contracts/results/check.js';
import { moreFindings } from '../errors/messages.js';
import { type CheckGroup, isOpen } from '../model/check.js';
import { percent } from '../units/percent.js';
import { coloursOf, visible } from './output.js';

/** Findings of one check that are shown unless all are asked for. */
const SHOWN = 5;

function sureness(p: number | null): string {
    if (p === null) return '';
    return ` - ${p >= 0.995 ? 'over 99 %' : percent(p)} sure`;
}

function place({ chassis, vehicle, corner, visit }: CheckRow): string {
    const car = [vehicle ?? (chassis === null ? null : `chassis ${chassis}`), corner].filter(
        (part) => part !== null,
    );
    return [car.join(' '), visit === null ? '' : `visit "${visit}"`].filter((part) => part !== '').join(', ');
}

function lines(row: CheckRow): string[] {
    const source = row.file === null ? null : `${row.file} line ${row.line}`;
    const where = [place(row), source].filter((part) => part !== null && part !== '').join(', ');
    const cause = row.explained_by === null ? '' : ` (see ${row.explained_by})`;
    return [`  ${visible(where)}${sureness(row.p_mistake)}${cause}`, `      ${visible(row.finding)}`];
}

/**
 * The findings for people: by check, what, where and how sure, then the likely mistake and how to mend it. Without `all` at
 * most five open findings a check. Not `quiet`: what a check means goes with it.
 */
export function checkText(
    groups: readonly CheckGroup[],
    { all, quiet }: { all: boolean; quiet?: boolean | undefined },
): string {
    const colours = coloursOf(process.stdout);
    const sections = groups.flatMap(({ check, rows }) => {
        const listed = all ? rows : rows.filter(isOpen);
        if (listed.length === 0) return [];
        const shown = all ? listed : listed.slice(0, SHOWN);
        const more = listed.length - shown.length;
        return [
            [
                `${colours.bold(`${check.title} (${listed.length})`)} ${colours.dim(check.name)}`,
                ...shown.flatMap(lines),
                ...(more > 0 ? [`  ${moreFindings(more, check.name)}`] : []),
                ...(quiet ? [] : [`  Likely: ${check.likely}.`, `  To mend: ${check.mend}.`]),
            ].join('\n'),
        ];
    });
    return sections.join('\n\n');
}
