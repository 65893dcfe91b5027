import { asciiSigns } from '../../../units/asciiSigns.js';
import { ASK } from '../ask.js';
import type { FileText } from './fileText.js';
import { dropLines, footers } from './footers.js';
import { headerWords, saysAfter, yesOrNoOf } from './headerWords.js';
import { headLines } from './headLines.js';
import { ignoreLines } from './ignoreLines.js';
import type { Layout } from './layout.js';
import { angle, quantity, simple } from './measuredColumns.js';
import { corner, measuredAt, optional, phase, required, told, visit, visitKind } from './namedColumns.js';
import { withTellingSpans } from './placeWords.js';
import { SeenColumns } from './seenColumns.js';
import { wideColumns } from './templates.js';
import { decimalMark, looksBlank } from './valueGuess.js';
import { columnLines, flow, type GuessedColumn, line } from './yamlText.js';

function blankLines(texts: ReadonlyMap<string, string[]>): string[] {
    const found = [...new Set([...texts.values()].flat().filter(looksBlank))].slice(0, 8);
    if (found.length === 0) return [];
    return [
        line(0, `blank: [${found.map((text) => JSON.stringify(text)).join(', ')}]`, 'not measured, it seems'),
    ];
}

const yesOrNo = ['driver_aboard', 'rolled', 'bolts_tight', 'remounted'];
const methods = ['sweep', 'direct'];

function columnsOf(seen: SeenColumns): GuessedColumn[] {
    const vehicle = 'their column of the car, any id; { constant: NAME } for the same in all rows';
    const chassis = 'their column of the platform code; { constant: CODE } for the same in all rows';
    return [
        required(seen, 'vehicle', vehicle),
        required(seen, 'chassis', chassis),
        corner(seen),
        measuredAt(seen),
        visit(seen),
        visitKind(seen),
        phase(seen),
        optional(seen, 'repeat'),
        optional(seen, 'session'),
        ...['kit', 'plate_hand', 'plate_index', 'mark_1', 'mark_2'].map((name) => simple(seen, name)),
        ...['offset_out_mm', 'offset_aft_mm'].map((name) => quantity(seen, name, ['mm', 'inch'])),
        ...['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'].map((name) => angle(seen, name)),
        quantity(seen, 'ride_height_mm', ['mm', 'cm', 'inch']),
        quantity(seen, 'tyre_kpa', ['kPa', 'bar', 'psi']),
        quantity(seen, 'fuel_l', ['l', 'gal-us', 'gal-uk']),
        ...yesOrNo.map((name) => told(seen, name, 'yes or no', yesOrNoOf)),
        optional(seen, 'place'),
        told(seen, 'caster_method', 'sweep or direct', (word) => methods.find((one) => one === word)),
        optional(seen, 'caster_sweep_deg'),
        ...['gauge', 'technician', 'target', 'note'].map((name) => optional(seen, name)),
    ].filter((column) => column !== null);
}

/** Text of a YAML map for a file, with what is unsure in comments and `ASK` where only the user knows. */
export function guessMap(file: string, fileText: FileText, layout: Layout): string {
    const hasAfter = layout.names.some(saysAfter);
    const words = withTellingSpans(layout.names.map((name) => headerWords(name, hasAfter)));
    const footer = footers(layout);
    const data = layout.rows.filter((row) => !footer.includes(row));
    const texts = new Map(layout.names.map((name, i) => [name, data.map(({ cells }) => cells[i] ?? '')]));
    const filledCounts = new Map(
        [...texts].map(([name, cells]) => [
            name,
            cells.filter((cell) => cell !== '' && !looksBlank(cell)).length,
        ]),
    );
    const wide = wideColumns(words, filledCounts);
    const measured = words.filter(({ role }) => role !== null && role !== 'date' && role !== 'time');
    const mark = decimalMark(measured.flatMap(({ name }) => texts.get(name)!.map(asciiSigns)));
    const seen = new SeenColumns(words, wide, texts, mark ?? '.');
    const unfold = Object.entries(wide.unfold).map(([part, ours]) =>
        line(1, `${part}: ${flow(ours)}`, Object.values(ours).includes(ASK) ? 'FL, FR, RL or RR' : null),
    );
    return [
        ...headLines(file, fileText, layout, mark),
        ...blankLines(texts),
        ...dropLines(layout, footer),
        ...(unfold.length > 0 ? [line(0, 'unfold:'), ...unfold] : []),
        line(0, 'columns:'),
        ...columnsOf(seen).flatMap(columnLines),
        ...ignoreLines(seen, words, wide.leftOver),
        '',
    ].join('\n');
}
