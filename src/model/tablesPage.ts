import { kinds } from '../contracts/kinds.js';
import { Database } from '../db/database.js';
import { groundsOfModel } from './dependencies.js';
import { modelFiles } from './sqlFile.js';

/** Titles of the folders of `sql/`. */
const titles: Readonly<Record<string, string>> = {
    readings: 'Readings in the vehicle frame',
    moves: 'Moves of the bearing',
    slopes: 'Slopes',
    gauges: 'What a reading is worth',
    settings: 'Settings',
    drift: 'What moved',
    audit: 'Whether settings hit their targets',
    range: 'Range of offset that the field needs',
    stack: 'Stacks on a shaft',
    expectations: 'What the checks expect',
};

const head = `# How the tables follow from each other

Written by \`npm run graph\`, from what DuckDB's parser reads in \`sql/\`; a test fails when it is stale.
Rounded: input. Slanted: kept as a view.
`;

/** The developers' page of what each table is made from, as Markdown: one picture and one list by folder of `sql/`. */
export async function tablesPage(): Promise<string> {
    const db = await Database.open({ file: ':memory:', mode: 'create' });
    const inputs = new Set<string>([...kinds, 'loads']);
    const sections = new Map<string, { edges: string[]; lines: string[] }>();
    const slanted = new Set(modelFiles().flatMap(({ isView, table }) => (isView ? [table] : [])));
    const node = (name: string) =>
        inputs.has(name) ? `${name}([${name}])` : slanted.has(name) ? `${name}[/${name}/]` : name;
    for (const model of modelFiles()) {
        const { file, table } = model;
        const { tables } = await groundsOfModel(db, model);
        const sources = [...tables].sort();
        const title = titles[file.split('/')[0]!];
        if (title === undefined)
            throw new Error(`sql/${file}: src/model/tablesPage.ts has no title for its folder`);
        const section = sections.get(title) ?? { edges: [], lines: [] };
        sections.set(title, section);
        const edges = sources.map((source) => `    ${node(source)} --> ${node(table)}`);
        section.edges.push(...(edges.length === 0 ? [`    ${node(table)}`] : edges));
        const from = sources.length === 0 ? 'nothing' : sources.map((source) => `\`${source}\``).join(', ');
        section.lines.push(`- \`${table}\`: ${model.title}. From ${from}.`);
    }
    db.close();
    const pages = [...sections].map(
        ([title, { edges, lines }]) =>
            `## ${title}\n\n\`\`\`mermaid\nflowchart LR\n${edges.join('\n')}\n\`\`\`\n\n${lines.join('\n')}\n`,
    );
    return [head, ...pages].join('\n');
}
