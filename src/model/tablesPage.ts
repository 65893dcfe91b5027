import { kinds } from '../contracts/kinds.js';
import { Database } from '../db/database.js';
import { groundsOfModel } from './dependencies.js';
import { modelFiles } from './sqlFile.js';

/** `sql/` numbers its files by the hundred. */
const layers: Readonly<Record<string, string>> = {
    1: 'Readings in the vehicle frame',
    2: 'Moves and priors',
    3: 'Fits',
    4: 'Slopes as they are read',
    5: 'Settings',
    6: 'Gauges and drift',
    7: 'Audit and range',
    8: 'Stacks',
    9: 'What the checks share',
};

const head = `# How the tables follow from each other

Written by \`npm run graph\`, from what DuckDB's parser reads in \`sql/\`; a test fails when it is stale.
Rounded: input. Slanted: kept as a view.
`;

/** The developers' page of what each table is made from, as Markdown: one picture and one list by layer of `sql/`. */
export async function tablesPage(): Promise<string> {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const inputs = new Set<string>([...kinds, 'loads']);
    const sections = new Map<string, { edges: string[]; lines: string[] }>();
    const slanted = new Set(modelFiles().flatMap(({ isView, table }) => (isView ? [table] : [])));
    const node = (name: string) =>
        inputs.has(name) ? `${name}([${name}])` : slanted.has(name) ? `${name}[/${name}/]` : name;
    for (const model of modelFiles()) {
        const { file, table, title } = model;
        const { tables } = await groundsOfModel(db, model);
        const sources = [...tables].sort();
        const layer = layers[file[0]!];
        if (layer === undefined) throw new Error(`sql/${file}: src/model/tablesPage.ts names no such layer`);
        const section = sections.get(layer) ?? { edges: [], lines: [] };
        sections.set(layer, section);
        const edges = sources.map((source) => `    ${node(source)} --> ${node(table)}`);
        section.edges.push(...(edges.length === 0 ? [`    ${node(table)}`] : edges));
        const from = sources.length === 0 ? 'nothing' : sources.map((source) => `\`${source}\``).join(', ');
        section.lines.push(`- \`${table}\`: ${title}. From ${from}.`);
    }
    db.close();
    const pages = [...sections].map(
        ([layer, { edges, lines }]) =>
            `## ${layer}\n\n\`\`\`mermaid\nflowchart LR\n${edges.join('\n')}\n\`\`\`\n\n${lines.join('\n')}\n`,
    );
    return [head, ...pages].join('\n');
}
