import { UsageError } from '../errors/errors.js';
import { notTaken } from '../errors/messages.js';
import { namesParameter, type ReportChoice } from './choice.js';
import { listReports, reportQueries } from './registry.js';

const options: Readonly<Record<keyof ReportChoice, string>> = {
    vehicle: '--vehicle',
    chassis: '--chassis',
    kit: '--kit',
    shaft: '--shaft',
    target: '--target',
    target_2: 'second --target',
    anonymous: '--anonymous',
    arm_mm: '--arm-length',
    turn_mm: '--thread-pitch',
};

const ofSheet: readonly string[] = ['vehicle', 'chassis', 'kit'] satisfies (keyof ReportChoice)[];

/** The pages that take `parameter`: those with a query that names it, and the sheet. */
function takersOf(parameter: keyof ReportChoice): string[] {
    const reports = listReports().filter((name) =>
        reportQueries([name]).some((sql) => namesParameter(sql, parameter)),
    );
    return ofSheet.includes(parameter) ? [...reports, 'sheet'] : reports;
}

/** Throws a {@link UsageError} where one of the pages `names` does not take what is chosen. */
export function requireTaken(names: readonly string[], choice: ReportChoice): void {
    for (const parameter of Object.keys(options) as (keyof ReportChoice)[]) {
        if (names.length === 0 || (choice[parameter] ?? false) === false) continue;
        const takers = takersOf(parameter);
        const others = names.filter((name) => !takers.includes(name));
        if (others.length > 0) throw new UsageError(notTaken(options[parameter], others, takers));
    }
}
