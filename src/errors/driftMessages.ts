/** Sentences about questions of `drift` that cannot be answered as asked. */

export const noConfigFile = (file: string, reason: string) =>
    `The config file ${file} cannot be read: ${reason}. Name a YAML or JSON file with --config, or leave it out.`;

export function configUnreadable(file: string, line: number | null, reason: string): string {
    const place = line === null ? '' : ` line ${line}`;
    return `${file}${place} is no YAML or JSON: ${reason}. Write it like this:\n    corner_shares:\n        plate_slipped: 0.15\n    false_discovery_rate: 0.05`;
}

export function configUnfit(file: string, line: number | null, path: string, reason: string): string {
    const place = line === null ? '' : ` line ${line}`;
    const where = path === '' ? '' : `, ${path}`;
    return `${file}${place}${where}: ${reason}. drift --help lists what may stand there.`;
}

export const sharesLeaveNothing = (file: string, what: string) =>
    `${file}: the shares of ${what}, those not named included, come to 1 or more, so that nothing is left for "nothing happened". Lower some.`;

export const unreadableDate = (option: string, text: string) =>
    `${option} ${text} is no date. Write it as 2025-04-30, or 2025-04-30T14:00.`;

export function noSessions(vehicle: string | null, since: string | null): string {
    const about = vehicle === null ? '' : ` of ${vehicle}`;
    const when = since === null ? '' : ` since ${since}`;
    return `No session visit${about}${when}: nothing to judge. drift compares readings of a session visit, before and after the running.`;
}
