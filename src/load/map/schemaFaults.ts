import type { z } from 'zod';
import { columnSource, importMap } from '../../contracts/map.js';
import { keyMissing, notOneOf, unknownKey } from '../../errors/mapMessages.js';
import { nearestName } from '../nearestName.js';
import type { Fault } from './mapFaults.js';

type Issue = z.core.$ZodIssue;

/** Of the forms that a value may have, the issues of the one that it comes closest to. */
function closest(issues: readonly Issue[]): Issue[] {
    return issues.flatMap((issue) => {
        if (issue.code !== 'invalid_union') return [issue];
        const branch = issue.errors
            .map(closest)
            .find((inner) => inner.some(({ path, code }) => path.length > 0 || code !== 'invalid_type'));
        return (branch ?? [{ ...issue, path: [] }]).map(
            (inner) => ({ ...inner, path: [...issue.path, ...inner.path] }) as Issue,
        );
    });
}

const keys = [...Object.keys(importMap.shape), ...Object.keys(columnSource.shape)];

/** The issues of the schema as faults, one for each key at fault. */
export function schemaFaults(issues: readonly Issue[]): Fault[] {
    return closest(issues).flatMap((issue): Fault[] => {
        const path = [...issue.path];
        if (issue.code === 'unrecognized_keys') {
            return issue.keys.map((key) => ({
                path: [...path, key],
                message: unknownKey(key, nearestName(key, keys)),
            }));
        }
        if (issue.code === 'invalid_value') return [{ path, message: notOneOf(issue.values.map(String)) }];
        if (issue.message.endsWith('received undefined')) return [{ path, message: keyMissing() }];
        return [{ path, message: `${issue.message}.` }];
    });
}
