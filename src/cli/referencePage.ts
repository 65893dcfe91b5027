import type { Argument, Command, Option } from 'commander';
import { z } from 'zod';
import { openTables } from '../contracts/openTables.js';
import { resultSchema } from '../contracts/publish.js';
import { errorCodes } from '../errors/errors.js';
import { programName } from '../errors/programName.js';
import { columnTexts } from '../model/columnTexts.js';
import { modelFiles } from '../model/sqlFile.js';
import type { Context } from './command.js';
import { commands, commandTree } from './program.js';

const head = `# Reference

Written by \`npm run graph\` from the command tree, the contracts of results and the heads of \`sql/\`; a test fails when it is stale.
The columns of input files stand in [\`shared/README.md\`](../shared/README.md), the map there too.

- [Commands](#commands), [options of every command](#options-of-every-command), [exit status](#exit-status)
- [Results](#results): what each command prints with \`--json\`, and the library answers
- [Error codes](#error-codes) of the library
- [Tables for any DuckDB client](#tables-for-any-duckdb-client)
`;

const cell = (text: string) => text.replaceAll('|', '\\|').replaceAll('\n', ' ');

function optionLine(option: Option): string {
    const { flags, description, argChoices, defaultValue, defaultValueDescription, mandatory } = option;
    const isEmpty = defaultValue === undefined || (Array.isArray(defaultValue) && defaultValue.length === 0);
    const more = [
        ...(mandatory ? ['required'] : []),
        ...(argChoices === undefined ? [] : [argChoices.join(', ')]),
        ...(isEmpty ? [] : [`default ${defaultValueDescription ?? defaultValue}`]),
    ];
    return `- \`${flags}\`: ${description}${more.length === 0 ? '' : ` (${more.join('; ')})`}`;
}

const argumentLine = (argument: Argument): string =>
    `- \`${argument.required ? `<${argument.name()}>` : `[${argument.name()}]`}\`: ${argument.description}`;

const optionLines = (command: Command): string[] =>
    command.options.filter(({ hidden }) => !hidden).map(optionLine);

function commandSection(command: Command, example: string): string {
    const lines = [...command.registeredArguments.map(argumentLine), ...optionLines(command)];
    return [
        `### ${command.name()}`,
        `${command.description()}.`,
        `    ${programName()} ${example}`,
        ...(lines.length === 0 ? [] : [lines.join('\n')]),
    ].join('\n\n');
}

interface Property {
    type?: string | string[];
    enum?: string[];
    const?: string;
    anyOf?: Property[];
    items?: Property;
    properties?: Record<string, Property>;
    description?: string;
}

function typeOf({ type, enum: words, const: word, anyOf, items }: Property): string {
    if (word !== undefined) return word;
    if (words !== undefined) return words.join(' ');
    if (anyOf !== undefined) return anyOf.map(typeOf).join(' or ');
    if (type === 'array') return `list of ${typeOf(items ?? {})}`;
    return type === undefined ? 'any' : [type].flat().join(' or ');
}

const columnTable = (properties: Readonly<Record<string, Property>>): string =>
    [
        '| column | values | meaning |',
        '|---|---|---|',
        ...Object.entries(properties).map(
            ([name, property]) =>
                `| \`${name}\` | ${cell(typeOf(property))} | ${cell(property.description ?? '')} |`,
        ),
    ].join('\n');

/** A result and its lists; `results` are the modules of `src/contracts/results`. */
function resultSections(results: readonly object[]): string[] {
    const texts = columnTexts();
    return results.flatMap((module) =>
        Object.entries(module)
            .filter(([name, value]) => name.endsWith('Result') && value instanceof z.ZodType)
            .sort(([one], [other]) => one.localeCompare(other, 'en'))
            .map(([name, schema]) => {
                const { properties = {} } = resultSchema(schema as z.ZodType, texts) as Property;
                const lists = Object.entries(properties).filter(
                    ([, { items }]) => items?.properties !== undefined,
                );
                const title = name
                    .replace(/Result$/, '')
                    .replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
                return [
                    `### ${title}`,
                    ...lists.map(([list, { items }]) => `\`${list}\`:\n\n${columnTable(items!.properties!)}`),
                ].join('\n\n');
            }),
    );
}

function tableSections(): string[] {
    return openTables.map((name) => {
        const { title, grain, columns } = modelFiles().find(({ table }) => table === name)!;
        return [
            `### ${name}`,
            `${title}; ${grain}.`,
            [
                '| column | type | unit | meaning |',
                '|---|---|---|---|',
                ...columns.map(
                    (column) =>
                        `| \`${column.name}\` | ${column.type} | ${column.unit ?? ''} | ${cell(column.description)} |`,
                ),
            ].join('\n'),
        ].join('\n\n');
    });
}

/** `docs/reference.md`; `results` are the modules of `src/contracts/results`, by the names of their files. */
export function referencePage(results: readonly object[]): string {
    // Only actions reach for what is given to commands.
    const program = commandTree(() => ({}) as Context);
    return [
        head.trimEnd(),
        '## Commands',
        ...program.commands.map((command) => commandSection(command, commands[command.name()]!.example)),
        '## Options of every command',
        optionLines(program).join('\n'),
        '## Exit status',
        '0 done; 1 you can mend it, and the message says what, where and how; 2 wrong usage; 3 `load` took what was good and set rows aside; 70 a bug of the program.',
        '## Results',
        'Every result is `{"command", "rows", "notes"}`; what cannot be estimated is null. The JSON Schemas stand in [`shared/results`](../shared/results).',
        ...resultSections(results),
        '## Error codes',
        "`code` of the library's UserError and UsageError. Codes stay, more may come; the words for people may change.",
        [
            '| code | meaning |',
            '|---|---|',
            ...Object.entries(errorCodes).map(([code, text]) => `| \`${code}\` | ${text} |`),
        ].join('\n'),
        '## Tables for any DuckDB client',
        `The database is one DuckDB file (storage of DuckDB 1.2). These tables and the input tables, which are named like the kinds of files and have their columns, may be read by any client: names and columns stay, more may come. Open the file read-only, and while no command writes. Other tables may change with any version, and some views call functions that only this program has: write those as files with \`${programName()} export\`.`,
        ...tableSections(),
        '',
    ].join('\n\n');
}
