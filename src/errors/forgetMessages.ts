import { programName } from './programName.js';
/** Sentences of `forget`, of `load --instead-of`, and of loads that meet what was voided. */

import { counted, listed, quoted } from './words.js';

const rows = (count: number) => counted(count, 'row');

interface LoadOfFile {
    load_id: number;
    file: string;
    kind: string;
    loaded_at: string;
    row_count: number;
}

const loadLine = ({ load_id, file, kind, loaded_at, row_count }: LoadOfFile) =>
    `\n    ${load_id}: ${file}, ${kind}, loaded ${loaded_at} UTC, ${rows(row_count)}`;

const SHOWN_LOADS = 20;

export function unknownLoad(name: string, loads: readonly LoadOfFile[]): string {
    if (loads.length === 0) return `No file ${quoted(name)} was loaded, nor any other.`;
    const shown = loads.slice(0, SHOWN_LOADS).map(loadLine).join('');
    const more =
        loads.length > SHOWN_LOADS ? `\n    ${programName()} export loads --to FILE.csv lists all` : '';
    return `No file ${quoted(name)} was loaded. Name one of these, or its number:${shown}${more}`;
}

/** `suffix`: what stands behind the name in the target, such as `:12`. */
export const severalLoads = (name: string, loads: readonly LoadOfFile[], suffix = '') =>
    `${quoted(name)} means rows of several loads. Name the number of the one that you mean, such as ${loads[0]!.load_id}${suffix}:${loads.map(loadLine).join('')}`;

/** Why: voided already, set aside, or neither. */
export function nothingStands(target: string, why: { voidingId?: number; rejected?: boolean }): string {
    const head = `No stored row comes from ${quoted(target)}`;
    if (why.voidingId !== undefined) {
        return `${head}: it was voided before. ${programName()} forget --bring-back ${why.voidingId} brings it back.`;
    }
    if (why.rejected) {
        return `${head}: load set it aside, so that nothing rests on it. ${programName()} rejects shows why.`;
    }
    return `${head}: what the file holds there came from another file first, was replaced, or is no row. ${programName()} check and ${programName()} export readings name the file and line of each row.`;
}

export const nothingFits = (asked: string, kind: string) =>
    `No stored row of ${kind} fits ${asked}. Compare the words with ${programName()} export ${kind} --to FILE.csv.`;

export const unknownKindNamed = (kind: string, known: readonly string[]) =>
    `There is no kind of row ${quoted(kind)}. --kind takes one of: ${known.join(', ')}.`;

/** `columns` of the kind, where the condition names none of them. */
export const noCondition = (text: string, kind: string, columns: readonly string[] | null) =>
    columns === null
        ? `--where ${quoted(text)} compares a number with something else. Write it as 1.5, or leave it blank for cells that are blank.`
        : `--where takes COLUMN=VALUE with a column of ${kind}, and ${quoted(text)} is none. Columns: ${columns.join(', ')}. --kind names another kind.`;

export const forgetWhat = () =>
    'Name FILE, FILE:LINE or the number of a load, or rows by --where COLUMN=VALUE. Without any of them, and without --because, forget lists what was voided.';

export const becauseMissing = () =>
    'Say with --because why the rows go: who looks for them later has to know. --dry-run does without.';

export const byMissing = () =>
    'The system tells no user name. Say with --by who takes the rows out or brings them back.';

export const notPlain = (option: string) =>
    `${option} takes up to 2000 characters of text, without control characters.`;

export const notBoth = () => '--bring-back takes numbers of voidings only: leave the other rows out.';

export const voided = (count: number, voidingId: number, dryRun: boolean) =>
    dryRun
        ? `${rows(count)} would be voided.`
        : `${rows(count)} voided. ${programName()} forget --bring-back ${voidingId} brings ${count === 1 ? 'it' : 'them'} back.`;

export const broughtBack = (count: number, dryRun: boolean) =>
    dryRun ? `${rows(count)} would come back.` : `${rows(count)} brought back.`;

export const keysTaken = (count: number) =>
    `${rows(count)} ${count === 1 ? 'stays' : 'stay'} voided: another row has the key by now. Where the voided one is right, forget the other first and bring it back then.`;

export const replacedStay = (count: number, table: string) =>
    `Of these, ${rows(count)} had replaced an earlier one with other content, which does not come back by itself: ${programName()} export ${table} --to FILE.csv shows it, and the file can be loaded.`;

export const rejectsStay = (count: number) =>
    `${rows(count)} of the file ${count === 1 ? 'waits' : 'wait'} to be mended still, see ${programName()} rejects; nothing rests on ${count === 1 ? 'it' : 'them'}.`;

/** Later loads of the kind that held rows which were there already. */
export function laterDuplicates(
    loads: readonly { load_id: number; file: string; duplicate_count: number }[],
): string {
    const list = listed(
        loads.map(
            ({ load_id, file, duplicate_count }) => `${file} (load ${load_id}, ${duplicate_count} such rows)`,
        ),
    );
    return `Files loaded later held rows that were there already: ${list}. Where they are right and hold some of the voided rows, load them again.`;
}

export const moreRows = (count: number) => `and ${count} more: --json holds them all.`;

export const voidingsListed = () =>
    `${programName()} forget --bring-back NUMBER brings the rows of a voiding back, with --dry-run it only lists them; ${programName()} export readings_voided --to FILE.csv writes voided readings out, and so for each kind.`;

export const voidingNumber = (text: string) =>
    `--bring-back takes the number of a voiding, and ${quoted(text)} is none. ${programName()} forget lists them.`;

export const noVoidings = () => 'Nothing was voided.';

export function unknownVoiding(id: number, known: readonly number[]): string {
    const which = known.length === 0 ? 'nothing was voided' : `there is ${listed(known.map(String))}`;
    return `There is no voiding ${id} (${which}). ${programName()} forget lists them.`;
}

export const nothingToBringBack = (id: number) => `All rows of voiding ${id} were brought back before.`;

/** `columns` in which the row of the kit differs; null: the kit is not known any more. */
export function kitMeansOther(kit: string, columns: readonly string[] | null, readings: number): string {
    const many = counted(readings, 'stored reading');
    return columns === null
        ? `Kit ${quoted(kit)} is not known any more: the marks of ${many} give no offset.`
        : `Kit ${quoted(kit)} has another ${listed(columns)}: the marks of ${many} mean something else than before.`;
}

export const rowsStayVoided = (count: number, voidingId: number, by: string, because: string) =>
    `${rows(count)} ${count === 1 ? 'is' : 'are'} voided (by ${by}: ${because}) and ${count === 1 ? 'stays' : 'stay'} so. ${programName()} forget --bring-back ${voidingId} brings back what that voiding took out.`;

export const columnsKept = (file: string, columns: readonly string[]) =>
    `${file} has no column ${listed(columns)}: the replaced rows keep what they hold there. A column that is there and blank clears them.`;

export const oneFileInstead = () =>
    '--instead-of takes one file for one earlier load. Load the others by themselves.';

export const onlyInstead = () =>
    `--by and --because say who voids rows and why: they belong to --instead-of, and to ${programName()} forget.`;

export const otherKindInstead = (file: string, kind: string, name: string, loaded: string) =>
    `${file} holds ${kind} and ${quoted(name)} held ${loaded}, so it cannot stand in for it. Nothing was changed.`;

/** `first`: where and why, of the first rows. */
export function asideInstead(
    file: string,
    count: number,
    first: readonly string[],
    conflicts: boolean,
): string {
    const replace = conflicts
        ? ' A row that another load holds with other content is replaced with --replace.'
        : '';
    return `${file} has ${rows(count)} that would be set aside, so that what they stand for would look gone; nothing was changed. Mend ${count === 1 ? 'it' : 'them'} first.${replace}${first.map((line) => `\n    ${line}`).join('')}`;
}

export interface Instead {
    file: string;
    load: string;
    unchanged: number;
    changed: number;
    added: number;
    gone: number;
}

export function tookPlace({ file, load, unchanged, changed, added, gone }: Instead, dryRun: boolean): string {
    const verb = dryRun ? 'would take' : 'takes';
    return `${file} ${verb} the place of ${load}: ${rows(unchanged)} as before, ${changed} changed, ${added} new, ${gone} no longer held and so voided.`;
}

export const duplicatesInstead = (load: string, count: number) =>
    `${load} held ${rows(count)} besides that had come from earlier files; ${count === 1 ? 'it stays' : 'they stay'}.`;
