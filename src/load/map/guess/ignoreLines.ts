import type { HeaderWords } from './headerWords.js';
import { perCorner } from './placeWords.js';
import type { SeenColumns } from './seenColumns.js';
import { line, scalar } from './yamlText.js';

function noteFor(seen: SeenColumns, { name, role, isNominal, isSteered }: HeaderWords): string {
    if (isNominal) return 'a nominal value or a limit, no reading';
    if (isSteered) return 'a reading with the steering turned: see sweep in shared/README.md';
    if (seen.isWide && role !== null && perCorner.has(role)) {
        return 'does not say of which corner and phase; under columns it would count for each';
    }
    const [example] = seen.textsOf([name]);
    return example === undefined ? 'blank throughout' : `such as ${example.slice(0, 30)}`;
}

/** The columns that the guess has no use for, each with the reason or an example; `reasons` are those found before. */
export function ignoreLines(
    seen: SeenColumns,
    words: readonly HeaderWords[],
    reasons: ReadonlyMap<string, string>,
): string[] {
    const rest = words.filter(({ name }) => !seen.used.has(name));
    if (rest.length === 0) return [];
    return [
        line(0, 'ignore:', 'every other column of the file: use it above, or leave it here'),
        ...rest.map((one) => line(1, `- ${scalar(one.name)}`, reasons.get(one.name) ?? noteFor(seen, one))),
    ];
}
