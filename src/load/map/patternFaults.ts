import { badPattern, noGroup, unsupportedPattern } from '../../errors/mapMessages.js';
import { linearPattern, UnsupportedPattern } from './linearPattern.js';
import type { Fault } from './mapFaults.js';

/** What is wrong with a regular expression, which needs a group called `group` where that is given. */
export function patternFaults(path: PropertyKey[], pattern: string | undefined, group?: string): Fault[] {
    if (pattern === undefined) return [];
    try {
        linearPattern(pattern);
    } catch (error) {
        const say = error instanceof UnsupportedPattern ? unsupportedPattern : badPattern;
        return [{ path, message: say((error as Error).message) }];
    }
    if (group === undefined || pattern.includes(`(?<${group}>`)) return [];
    return [{ path, message: noGroup(group) }];
}
