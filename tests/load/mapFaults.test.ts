import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, expect, test } from 'vitest';
import { parse } from 'yaml';
import { UserError } from '../../src/errors/errors.js';
import {
    badPattern,
    diameterMissing,
    foldUnused,
    keyMissing,
    lengthOnAngle,
    mapFault,
    mapNeeds,
    missingFile,
    noGroup,
    noSuchColumn,
    notForColumn,
    notOneOf,
    notOurColumn,
    notOurValue,
    oneColumn,
    oneSourceOf,
    onlyWithoutPhase,
    openQuestion,
    sweepNeeds,
    toeUnsaid,
    twoColumns,
    unfoldParts,
    unitUnfit,
    unknownKey,
    unusedColumns,
    wrongDropKeys,
} from '../../src/errors/messages.js';
import { prepareMapped } from '../../src/load/map/mapping.js';
import { parseMap, readMap } from '../../src/load/map/readMap.js';

const folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

const required = {
    vehicle: 'car',
    chassis: '{ constant: OTTER }',
    corner: 'corner',
    measured_at: 'date',
    visit: 'visit',
    visit_kind: '{ constant: check }',
    phase: 'phase',
    camber_deg: 'camber',
};

/** A map with the columns above but for `changed`, and the line on which each of ours stands. */
function mapWith(changed: Record<string, string | null>, above: string[] = []) {
    const columns = Object.entries({ ...required, ...changed }).filter(([, source]) => source !== null);
    const lines = [...above, 'columns:', ...columns.map(([name, source]) => `  ${name}: ${source}`)];
    return {
        text: lines.join('\n'),
        lineOf: (start: string) => lines.findIndex((line) => line.trimStart().startsWith(start)) + 1,
    };
}

function faultOf(text: string): string {
    try {
        parseMap('map.yaml', text);
    } catch (error) {
        expect(error).toBeInstanceOf(UserError);
        return (error as Error).message;
    }
    return '';
}

const visitKinds = ['install', 'adjust', 'session', 'check'];
const phases = ['before', 'moved', 'after'];

test.each<[string, Record<string, string | null>, string[], string, string[], string]>([
    ['unknown key', {}, ['delimeter: ";"'], 'delimeter', ['delimeter'], unknownKey('delimeter', 'delimiter')],
    [
        'unknown key of a column',
        { note: '{ colum: x }' },
        [],
        'note',
        ['columns', 'note', 'colum'],
        unknownKey('colum', 'column'),
    ],
    ['unknown word', {}, ['decimal: "'.concat(';"')], 'decimal', ['decimal'], notOneOf(['.', ','])],
    [
        'unknown column of ours',
        { cambre_deg: 'x' },
        [],
        'cambre_deg',
        ['columns', 'cambre_deg'],
        notOurColumn('cambre_deg', 'camber_deg', 'readings'),
    ],
    [
        'nothing required',
        { vehicle: null, camber_deg: null },
        [],
        'columns',
        ['columns'],
        mapNeeds('readings', ['vehicle', 'camber_deg or caster_deg or toe_deg or sai_deg']),
    ],
    ['two sources', { note: '{ column: a, constant: b }' }, [], 'note', ['columns', 'note'], oneSourceOf()],
    [
        'no source',
        { camber_deg: '{ unit: deg }' },
        [],
        'camber_deg',
        ['columns', 'camber_deg'],
        oneSourceOf(),
    ],
    [
        'unit of another',
        { camber_deg: '{ column: a, unit: bar }' },
        [],
        'camber_deg',
        ['columns', 'camber_deg', 'unit'],
        unitUnfit('camber_deg', ['deg', 'deg-min', 'deg-min-dotted', 'arcmin', 'rad', 'mm', 'inch']),
    ],
    [
        'length of camber',
        { camber_deg: '{ column: a, unit: mm }' },
        [],
        'camber_deg',
        ['columns', 'camber_deg', 'unit'],
        lengthOnAngle('camber_deg'),
    ],
    [
        'unit of a text',
        { note: '{ column: a, unit: mm }' },
        [],
        'note',
        ['columns', 'note', 'unit'],
        notForColumn('unit', 'note'),
    ],
    [
        'toe in mm without diameter',
        { toe_deg: '{ column: a, unit: mm, toe: wheel }' },
        [],
        'toe_deg',
        ['columns', 'toe_deg', 'unit'],
        diameterMissing(),
    ],
    ['toe of what', { toe_deg: 'a' }, [], 'toe_deg', ['columns', 'toe_deg'], toeUnsaid()],
    [
        'toe of camber',
        { camber_deg: '{ column: a, toe: total }' },
        [],
        'camber_deg',
        ['columns', 'camber_deg', 'toe'],
        notForColumn('toe', 'camber_deg'),
    ],
    [
        'constant that is none',
        { visit_kind: '{ constant: checkup }' },
        [],
        'visit_kind',
        ['columns', 'visit_kind', 'constant'],
        notOurValue('checkup', 'visit_kind', visitKinds),
    ],
    [
        'word that is none',
        { phase: '{ column: p, words: { vor: bevor } }' },
        [],
        'phase',
        ['columns', 'phase', 'words', 'vor'],
        notOurValue('bevor', 'phase', phases),
    ],
    [
        'pattern without group',
        { kit: "{ column: a, pattern: '(.*)' }" },
        [],
        'kit',
        ['columns', 'kit', 'pattern'],
        noGroup('kit'),
    ],
    [
        'pattern that is none',
        { kit: "{ column: a, pattern: '(?<kit>' }" },
        [],
        'kit',
        ['columns', 'kit', 'pattern'],
        badPattern('Invalid regular expression: /(?<kit>/u: Unterminated group'),
    ],
    [
        'sweep without more',
        { camber_deg: null, caster_deg: '{ sweep: { left: a, right: b, steer_deg: 20 } }' },
        [],
        'caster_deg',
        ['columns', 'caster_deg', 'sweep'],
        sweepNeeds(),
    ],
    [
        'sweep of camber',
        { camber_deg: '{ sweep: { left: a, right: b, steer_deg: 20 } }' },
        [],
        'camber_deg',
        ['columns', 'camber_deg', 'sweep'],
        notForColumn('sweep', 'camber_deg'),
    ],
    [
        'unfold and column',
        {},
        ['unfold: { corner: { VL: FL } }'],
        'corner:',
        ['columns', 'corner'],
        oneSourceOf(),
    ],
    [
        'unfold of nothing',
        {},
        ['unfold:', '  wheel: { VL: FL }'],
        'wheel',
        ['unfold', 'wheel'],
        notOurColumn('wheel', null, 'readings'),
    ],
    [
        'unfold to no value',
        { phase: null },
        ['unfold:', '  phase: { vor: bevor }'],
        'phase',
        ['unfold', 'phase', 'vor'],
        notOurValue('bevor', 'phase', phases),
    ],
    [
        'unfold of half a corner',
        {},
        ['unfold:', '  side: { L: left }'],
        'side',
        ['unfold', 'side'],
        unfoldParts(),
    ],
    [
        'a phase of no row',
        { note: '{ column: a, only: after }' },
        [],
        'note:',
        ['columns', 'note', 'only'],
        onlyWithoutPhase('after'),
    ],
    ['drop of nothing', {}, ['drop:', '  - { column: a }'], '- {', ['drop', '0'], wrongDropKeys()],
    [
        'drop of a pattern that is none',
        {},
        ['drop:', '  - { line: "(" }'],
        '- {',
        ['drop', '0', 'line'],
        badPattern('Invalid regular expression: /(/u: Unterminated group'),
    ],
])('%s is named with its line', (_, changed, above, start, path, message) => {
    const { text, lineOf } = mapWith(changed, above);
    expect(faultOf(text).split('\nerror: ')).toContain(mapFault('map.yaml', lineOf(start), path, message));
});

test('all faults are named at once', () => {
    const { text } = mapWith({ note: '{ column: a, unit: mm }', toe_deg: 'a', cambre_deg: 'x' });
    expect(faultOf(text).split('\nerror: ')).toHaveLength(3);
});

test('a question is refused with its comment, anywhere', () => {
    const { text, lineOf } = mapWith({ visit_kind: '{ constant: ASK } # install or adjust?' }, [
        'delimiter: ASK',
    ]);
    expect(faultOf(text)).toBe(
        [
            openQuestion('map.yaml', { line: 1, key: 'delimiter', question: '' }),
            openQuestion('map.yaml', {
                line: lineOf('visit_kind'),
                key: 'columns.visit_kind.constant',
                question: 'install or adjust?',
            }),
        ].join('\nerror: '),
    );
});

test('what is no YAML, no map or no file', () => {
    expect(faultOf('columns: [')).toMatch(/^map\.yaml line \d+: not YAML: /);
    expect(faultOf('a: 1\na: 2')).toMatch(/^map\.yaml line 2: not YAML: Map keys must be unique/);
    expect(faultOf('')).toBe(mapFault('map.yaml', 1, ['columns'], keyMissing()));
    expect(faultOf('- a')).toMatch(/^map\.yaml line 1: /);
    const bomb = [
        'a: &a [x, x, x, x, x, x, x, x, x]',
        ...'bcdefghi'
            .split('')
            .map((n, i) => `${n}: &${n} [${Array(9).fill(`*${'abcdefgh'[i]}`).join(', ')}]`),
    ].join('\n');
    expect(faultOf(bomb)).toMatch(/^map\.yaml line \d+: not YAML: /);
    expect(() => readMap(join(folder, 'none.yaml'))).toThrow(
        new UserError(missingFile(join(folder, 'none.yaml'))),
    );
    const binary = join(folder, 'binary.yaml');
    writeFileSync(binary, Buffer.from([0xff, 0xfe, 0x00]));
    expect(() => readMap(binary)).toThrow('cannot be read as a map');
});

async function unfit(header: string, map: string): Promise<string> {
    const file = join(folder, 'a.csv');
    writeFileSync(file, `${header}\n1\n`);
    const error = await prepareMapped(file, {
        file: 'map.yaml',
        map: parseMap('map.yaml', map),
    }).catch((thrown) => thrown);
    expect(error).toBeInstanceOf(UserError);
    return error.message;
}

test('columns that do not fit are named, those of the file and those of the map', async () => {
    const { text } = mapWith({}, ['ignore: [gone]', 'drop: [{ column: sum, blank: true }]']);
    const message = await unfit('Car,corner,date,visit,phase,camber,Remark,Customer', text);
    expect(message).toContain('a.csv line 1: the columns do not fit map.yaml:');
    expect(message).toContain(noSuchColumn('vehicle', 'car', 'Car'));
    expect(message).toContain(noSuchColumn('drop 1', 'sum', null));
    expect(message).toContain(unusedColumns(['Car', 'Remark', 'Customer']));
    expect(await unfit('car;corner;date', text)).toContain(oneColumn());
});

test('words of unfold without a column, and two columns for one value', async () => {
    const wide = (unfold: string) =>
        mapWith({ corner: null, camber_deg: '"{corner} camber"' }, ['unfold:', `  corner: ${unfold}`]).text;
    const header = 'car,date,visit,phase,LF camber,FL camber';
    expect(await unfit(header, wide('{ LF: FL, FL: FL }'))).toContain(twoColumns('camber_deg', ['FL']));
    expect(await unfit(header, wide('{ LF: FL, RF: FR }'))).toContain(foldUnused('corner', 'RF'));
});

test('the map that shared/README.md shows is one', () => {
    const readme = readFileSync(join(import.meta.dirname, '../../shared/README.md'), 'utf8');
    const [, example] = /```yaml\n([\s\S]+?)```/.exec(readme)!;
    expect(faultOf(example!)).toBe('');
});

test('map.schema.json takes every map of the cases', () => {
    const schema = JSON.parse(
        readFileSync(join(import.meta.dirname, '../../shared/map.schema.json'), 'utf8'),
    );
    const validate = new Ajv2020({ allowUnionTypes: true, formats: { regex: true } }).compile(schema);
    const cases = join(import.meta.dirname, '../../fixtures/cases/map');
    for (const entry of readdirSync(cases, { withFileTypes: true }).filter((one) => one.isDirectory())) {
        const map = parse(readFileSync(join(cases, entry.name, 'map.yaml'), 'utf8'));
        expect(validate(map), `${entry.name} ${JSON.stringify(validate.errors)}`).toBe(true);
    }
    expect(validate({ columns: {}, delimeter: ';' })).toBe(false);
});
