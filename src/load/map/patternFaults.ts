import { badPattern, noGroup } from '../../errors/mapMessages.js';
import type { Fault } from './mapFaults.js';

/** What is wrong with a regular expression, which needs a group called `group` where that is given. */
export function patternFaults(path: PropertyKey[], pattern: string | undefined, group?: string): Fault[] {
    if (pattern === undefined) return [];
    try {
        new RegExp(pattern, 'u');
    } catch (error) {
        return [{ path, message: badPattern((error as Error).message) }];
    }
    if (group === undefined || pattern.includes(`(?<${group}>`)) return [];
    return [{ path, message: noGroup(group) }];
}
