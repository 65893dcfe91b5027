import { z } from 'zod';
import { unseenCharacters } from '../units/visibleText.js';
import { importMap } from './map.js';
import { SHARE_VERSION, shareKinds } from './share.js';
import type { Column, ColumnType, TableContract } from './table.js';
import { tables } from './tables.js';

/** What other programs rely on, as files of `shared/`: path below it -> content. */
export type Published = Map<string, string>;

const fieldTypes: Record<ColumnType, string> = {
    text: 'string',
    choice: 'string',
    datetime: 'string',
    number: 'number',
    integer: 'integer',
};

function withoutNulls<T extends object>(properties: T): Partial<T> {
    const entries = Object.entries(properties).filter(([, value]) => value !== null && value !== undefined);
    return Object.fromEntries(entries) as Partial<T>;
}

function fieldOf(column: Column) {
    return withoutNulls({
        name: column.name,
        type: fieldTypes[column.type],
        description: column.description,
        unit: column.unit,
        blankMeans: column.blankMeans,
        constraints: withoutNulls({
            required: column.required,
            minimum: column.min,
            maximum: column.max,
            maxLength: column.maxLength,
            pattern: column.pattern,
            enum: column.words.length === 0 ? null : column.words,
        }),
    });
}

/** A primary key of Table Schema may not be blank; where ours may, it is published as a unique key. */
function keyOf({ key, columns }: TableContract) {
    const mayBeBlank = columns.some((column) => key.includes(column.name) && !column.required);
    return mayBeBlank ? { uniqueKeys: [key] } : { primaryKey: key };
}

function keySentence({ key, columns, atLeastOneOf }: TableContract): string {
    const blanks = columns
        .filter((column) => key.includes(column.name) && !column.required)
        .map(({ name, blankMeans }) => `a blank ${name} counts as ${blankMeans ?? 'a value of its own'}`);
    const groups = atLeastOneOf.map((group) => `at least one of ${group.join(', ')} is filled`);
    return [`Key: ${key.join(', ')}`, ...blanks, ...groups].join('; ');
}

function resourceOf(contract: TableContract) {
    return {
        name: contract.kind,
        type: 'table',
        path: `templates/${contract.kind}.csv`,
        title: contract.title,
        description: `${contract.grain}. ${keySentence(contract)}.`,
        format: 'csv',
        mediatype: 'text/csv',
        encoding: 'utf-8',
        schema: {
            fields: contract.columns.map(fieldOf),
            ...(contract.rules.length === 0
                ? {}
                : { rowRules: contract.rules.map(({ columns, rule }) => ({ columns, rule })) }),
            fieldsMatch: 'superset',
            missingValues: [''],
            ...keyOf(contract),
        },
    };
}

function dataPackage() {
    return {
        $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
        name: 'strutmark',
        title: 'CSV files that strutmark load takes',
        resources: tables.map(resourceOf),
    };
}

/** One resource per kind of row, all of them in one file. */
function sharePackage() {
    return {
        $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
        name: 'strutmark-share',
        title: 'File that strutmark share writes and strutmark merge reads',
        shareVersion: SHARE_VERSION,
        resources: shareKinds.map((contract) => ({
            name: contract.kind,
            type: 'table',
            path: 'share.parquet',
            title: contract.title,
            description: `Rows whose column kind is ${contract.kind}: ${contract.grain}. Columns that are not named here are null.`,
            format: 'parquet',
            mediatype: 'application/vnd.apache.parquet',
            schema: {
                fields: [
                    {
                        name: 'kind',
                        type: 'string',
                        description: 'kind of row',
                        constraints: { required: true, enum: [contract.kind] },
                    },
                    ...contract.columns.map(fieldOf),
                ],
                fieldsMatch: 'subset',
                ...(contract.key.length === 0 ? {} : keyOf(contract)),
            },
        })),
    };
}

function rangeOf({ type, min, max, unit, words, maxLength, pattern }: Column): string {
    if (type === 'choice') return words.join(' ');
    if (type === 'datetime') return 'ISO 8601';
    if (type === 'text') {
        if (pattern?.includes(unseenCharacters)) return `name, at most ${maxLength} characters`;
        return pattern === null ? `text, at most ${maxLength} characters` : '32 hexadecimal digits';
    }
    return `${type} ${min} to ${max}${unit === null ? '' : ` ${unit}`}`;
}

function columnTable(contract: TableContract): string[] {
    const rows = contract.columns.map((column) => {
        const need = column.required
            ? 'required'
            : column.blankMeans === null
              ? ''
              : `blank = ${column.blankMeans}`;
        return `| \`${column.name}\` | ${rangeOf(column)} | ${need} | ${column.description} |`;
    });
    return ['| column | values | | meaning |', '|---|---|---|---|', ...rows];
}

const mapSection = [
    '## Import map: files that are not in this format',
    '',
    '`strutmark map FILE --to MAP.yaml` writes a first guess with its questions, `strutmark load --map MAP.yaml FILE` reads the',
    'file. `ASK` stands for an answer that only you can give; load refuses the map until each has one.',
    '',
    '```yaml',
    'encoding: windows-1252',
    'delimiter: ";"',
    'decimal: ","',
    'skip_lines: 2                       # title lines above the header',
    'drop:',
    '  - line: "^Summe"                  # a footer; also {column: NAME, blank: true} or {column: NAME, pattern: EXPRESSION}',
    'unfold:                             # one row of theirs becomes a row for each corner and phase',
    '  corner: { VL: FL, VR: FR }',
    '  axle: { VA: front }',
    '  phase: { vorher: before, nachher: after }',
    'columns:',
    '  vehicle: Kennzeichen              # their column',
    '  chassis: { constant: OTTER }      # the same in every row',
    '  measured_at: { text: "{Datum} {Uhrzeit}", date: day-first }',
    '  visit: Auftrag',
    '  visit_kind: { column: Anlass, words: { Einbau: install, Einstellung: adjust } }',
    "  kit: { column: Bemerkung, pattern: 'Kit (?<kit>\\S+)', unmatched: blank }",
    '  mark_1: { column: "{corner} Marke", only: after }   # one mark beside before and after is that of after',
    '  camber_deg: { column: "{corner} Sturz {phase}", unit: deg-min }',
    '  toe_deg: { column: "Gesamtspur {axle} {phase}", unit: mm, diameter_mm: 406.4, toe: total }',
    '  caster_deg:                       # from a sweep, by the exact rotation',
    '    sweep: { left: "{corner} links {phase}", right: "{corner} rechts {phase}", steer_deg: 20 }',
    '    unit: deg-min                   # of the two camber readings',
    'ignore: [Kunde, Telefon]            # every column is used or named here',
    '```',
    '',
    "Units: `deg`; `deg-min` for -1°30', -1 30, -1d30m, 1:30, 1°30'30\"; `deg-min-dotted` where 1.30 is 1 degree 30 minutes;",
    '`arcmin`; `rad`; toe also `mm` and `inch` (decimals or fractions such as 1/16) with `diameter_mm`; lengths `mm`, `cm`,',
    "`inch`; pressure `kPa`, `bar`, `psi`; fuel `l`, `gal-us`, `gal-uk`. One minus sign counts for all of -0°30'. `flip: true` turns the sign, `flip: [FL, RL]`",
    'only on those corners. `only: after` (or `before`, `moved`) keeps a cell for the rows of that phase, blank in the others: where before',
    'and after stand in one row, marks, index and hand are those of after, and of an install the kit too. A corner told by two columns:',
    '`corner: { text: "{Essieu} {Côté}", words: { AV G: FL, AV D: FR } }`; where the sides stand in the names of columns and the axle in a column, `unfold: { side: { left: left, right: right } }` and `corner: { text: "{Axle} {side}", words: { front left: FL, front right: FR } }`. Read rows are rows of ours: a row of theirs that cannot be unfolded counts as one.',
    '',
];

function readme(results: readonly string[]): string {
    const kinds = tables.flatMap((contract) => [
        `## ${contract.kind}: ${contract.title}`,
        '',
        `${contract.grain}. ${keySentence(contract)}.`,
        '',
        ...columnTable(contract),
        '',
        ...(contract.rules.length === 0
            ? []
            : ['Across columns:', '', ...contract.rules.map(({ rule }) => `- ${rule}`), '']),
    ]);
    return [
        '# What other files and programs may rely on',
        '',
        'Made from `src/contracts` by `npm run shared`; a test fails where the two differ. It changes by additions only.',
        '',
        '- `datapackage.json`: the CSV files as a Data Package (v2) with a Table Schema each. `unit`, `blankMeans` and `rowRules` are ours.',
        '- `templates/`: an empty CSV file of each kind, with its header row.',
        '- `map.schema.json`: JSON Schema (2020-12) of the import map of `load --map`, which is a YAML file.',
        '- `share.datapackage.json`: the file of `share` and `merge` as a Data Package, one Table Schema per kind of row in it.',
        '- `results/`: JSON Schema (2020-12) of what each command prints with `--json`.',
        '',
        'CSV: UTF-8, comma, header row; columns by name in any order, those that are not required may be left out. White',
        'space at the ends of a cell is no part of it. Blank = not measured, never zero. Angles in decimal degrees, lengths in',
        'millimetres; left and right are mirrored, so equal cars read equal on both sides. Names are one line of characters that',
        'can be seen: no controls, no line ends, no spaces without width, no marks that turn the direction of text.',
        '',
        ...kinds,
        ...mapSection,
        ...shareSection,
        '## Results',
        '',
        ...results.map((path) => `- \`${path}\``),
        '',
        '`load` prints its result once the rows are stored, and then makes the model tables unless `--later` puts it off; what goes',
        'wrong there is a warning on stderr and leaves the exit status as it was. Stopped meanwhile, it exits with 1; the rows stay.',
        '',
    ].join('\n');
}

const shareSection = [
    '## Shared file: what sites give each other',
    '',
    '`strutmark share --to FILE.parquet` writes it, `strutmark merge FILE...` reads one of each site. Parquet, key `strutmark_share`',
    `= ${SHARE_VERSION} in the metadata of the file, one table with the columns of all kinds of rows below; each row has its kind in column \`kind\``,
    'and null in the columns of other kinds.',
    '',
    '**What is exchanged, and why.** A robust fit weighs each move by its distance from the slopes of the whole field, so weights',
    'fixed at home, or sums made with them, would be those of another field. So each move is shared by itself, and of each front',
    'corner the newest state, since what offset it needs hangs on the slopes of the field and on the targets of every site. Merge',
    'runs the same SQL on these rows as on readings: slopes and their variances are bit for bit those of all readings in one database,',
    'plain least squares included, where cars, visits, gauges and kits of two sites are taken for different ones. So are needed offsets,',
    'but for what a site knows of the biases and set-ups of its gauges: it is not shared, and priors stand in.',
    '',
    '**What is not in it.** Names of cars, people, gauges, visits, sessions, kits, targets and files; notes; times; the order of what',
    'was done, but for which state of a corner is its newest. Kits have numbers where a move changed them. The rows stand in the',
    'order of their values.',
    '',
    '**What a reader can learn.** Chassis codes in clear, how many cars of each; the angles that the targets want; per car, under',
    'its pseudonym, what its moves did and where its fronts stand now, and from the offsets often which moves are of one visit; how',
    'well the gauges repeat, and where they have no names, what sessions changed, without the car. Two files of one site have the same',
    'pseudonyms, so they show what came since. Who knows the numbers of a car from elsewhere can find it, and then its other rows:',
    'this is no anonymous file. Give it to those only who may know as much.',
    '',
    '**The key** (64 hexadecimal digits, mode 0600, `--key FILE`, else beside the database) never leaves the site: with it, names',
    'can be tried against pseudonyms. When it is lost, the same cars get other pseudonyms, and merge takes an older and a newer file',
    'for two sites. Merge refuses two files of one site.',
    '',
    '**Cars that two sites know** count as two, since their pseudonyms differ. Their influence z on a slope counts as z1^2 + z2^2 in',
    'place of (z1 + z2)^2, which is at most twice as much: standard errors are too small by at most the root of 2, less the fewer',
    'cars are shared, and degrees of freedom are too many.',
    '',
    ...shareKinds.flatMap((contract) => [
        `### ${contract.kind}: ${contract.title}`,
        '',
        `${contract.grain}.${contract.key.length === 0 ? '' : ` ${keySentence(contract)}.`}`,
        '',
        ...columnTable(contract),
        '',
    ]),
];

const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;

const kebab = (name: string) => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

/** The exports named `...Result` of the modules of `src/contracts/results`, by the name of their schema file. */
function resultFiles(modules: readonly object[]): [string, z.ZodType][] {
    return modules
        .flatMap((module) => Object.entries(module))
        .filter(
            (entry): entry is [string, z.ZodType] =>
                entry[0].endsWith('Result') && entry[1] instanceof z.ZodObject,
        )
        .map(([name, schema]): [string, z.ZodType] => [
            `results/${kebab(name.slice(0, -'Result'.length))}.schema.json`,
            schema,
        ])
        .sort(([a], [b]) => (a < b ? -1 : 1));
}

type Texts = ReadonlyMap<string, ReadonlyMap<string, string>>;

interface ResultJson {
    properties?: {
        command?: { const?: string };
        rows?: { items?: { properties?: Record<string, { description?: string }> } };
    };
}

/**
 * JSON Schema of a result. Rows of the command that has the name of a model table take the texts of its columns where they have none:
 * `texts`, by table and column.
 */
export function resultSchema(schema: z.ZodType, texts: Texts): object {
    const found = z.toJSONSchema(schema, { io: 'input' });
    const { command, rows } = (found as ResultJson).properties ?? {};
    const own = texts.get(command?.const ?? '');
    for (const [name, property] of Object.entries(rows?.items?.properties ?? {})) {
        const text = own?.get(name);
        if (text !== undefined) property.description ??= text.replaceAll('NULL', 'null');
    }
    return found;
}

/** Everything in `shared/`, from the contracts, the modules of `src/contracts/results`, and `texts` as for {@link resultSchema}. */
export function publish(resultModules: readonly object[], texts: Texts): Published {
    const results = resultFiles(resultModules);
    return new Map([
        ['datapackage.json', json(dataPackage())],
        ['share.datapackage.json', json(sharePackage())],
        ['map.schema.json', json(z.toJSONSchema(importMap, { io: 'input' }))],
        ['README.md', readme(results.map(([path]) => path))],
        ...tables.map(({ kind, names }): [string, string] => [
            `templates/${kind}.csv`,
            `${names.join(',')}\n`,
        ]),
        ...results.map(([path, schema]): [string, string] => [path, json(resultSchema(schema, texts))]),
    ]);
}
