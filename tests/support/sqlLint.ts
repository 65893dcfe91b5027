import { kinds } from '../../src/contracts/kinds.js';
import type { Database } from '../../src/db/database.js';
import { parsedStatements } from '../../src/model/references.js';

/** The habits of the SQL files, as far as tokens and the parsed query tell them. */

const LONGEST_LINE = 120;
const token = /'(?:[^']|'')*'|"[^"]*"|--.*|\w+|\s+|./g;
const isText = (word: string) => /^('|"|--)/.test(word);

/** Words of `text` outside of strings, quoted names and comments. */
const wordsOf = (text: string) =>
    [...text.matchAll(token)].map(([word]) => word).filter((word) => !isText(word) && /^\w/.test(word));

type Node = Readonly<Record<string, unknown>>;

function* nodesOf(value: unknown): Generator<Node> {
    if (Array.isArray(value)) for (const item of value) yield* nodesOf(item);
    else if (typeof value === 'object' && value !== null) {
        yield value as Node;
        for (const item of Object.values(value)) yield* nodesOf(item);
    }
}

function* tablesJoined(from: Node | undefined): Generator<Node> {
    if (from?.type === 'BASE_TABLE') yield from;
    if (from?.type !== 'JOIN') return;
    yield* tablesJoined(from.left as Node);
    if (from.join_type !== 'SEMI' && from.join_type !== 'ANTI') yield* tablesJoined(from.right as Node);
}

const inputs: ReadonlySet<string> = new Set([...kinds, 'loads', 'rejects']);

/** Input tables of which a query takes all columns, whatever they become. */
function starred(node: Node, ctes: ReadonlySet<string>): string[] {
    if (node.type !== 'SELECT_NODE') return [];
    const stars = (node.select_list as Node[]).filter(
        (item) => item.type === 'STAR' && item.columns !== true,
    );
    return [...tablesJoined(node.from_table as Node)]
        .filter(({ table_name }) => inputs.has(String(table_name)) && !ctes.has(String(table_name)))
        .filter(({ table_name, alias }) =>
            stars.some(({ relation_name: of }) => of === '' || of === alias || of === table_name),
        )
        .map(({ table_name }) => String(table_name));
}

/** Lines below the comments that a file begins with. */
export function bodyOf(text: string): string[] {
    const lines = text.trimEnd().split('\n');
    const first = lines.findIndex((line) => !line.startsWith('--'));
    return lines.slice(first);
}

const joinKinds = new Set(['inner', 'left', 'right', 'full', 'cross', 'asof', 'semi', 'anti', 'positional']);

/** What is against the habits in one file, each with how to mend it. `keywords`: in lower case. */
export async function lintSql(db: Database, keywords: ReadonlySet<string>, text: string): Promise<string[]> {
    const found: string[] = [];
    if (!text.startsWith('-- ')) found.push('begins without a comment: say first which rows it gives');
    const words = wordsOf(text);
    for (const word of words) {
        if (word !== word.toLowerCase() && keywords.has(word.toLowerCase()))
            found.push(`${word}: keywords are in lower case`);
    }
    for (const [at, word] of words.entries()) {
        if (word === 'join' && !joinKinds.has(words[at - 1]!))
            found.push(`${words[at - 1]} join ${words[at + 1]}: write inner join`);
    }
    const nodes = [...nodesOf(await parsedStatements(db, text))];
    const crossed = nodes.filter(({ type, ref_type }) => type === 'JOIN' && ref_type === 'CROSS').length;
    const written = words.filter((word, at) => word === 'cross' && words[at + 1] === 'join').length;
    if (crossed !== written) found.push('a comma joins tables: write cross join or inner join');
    const ctes = new Set(
        nodes.flatMap(({ map }) => (Array.isArray(map) ? map : []).map(({ key }) => String(key))),
    );
    for (const table of nodes.flatMap((node) => starred(node, ctes)))
        found.push(`all columns of ${table}: list those that are used`);
    for (const line of text.split('\n')) {
        if (line.length <= LONGEST_LINE || line.startsWith('--')) continue;
        const texts = [...line.matchAll(token)].filter(([word]) => word.startsWith("'"));
        const rest = line.length - (texts.length === 1 ? texts[0]![0].length : 0);
        if (texts.length !== 1 || rest > 40)
            found.push(`a line of ${line.length} characters: wrap it, ${line.trim().slice(0, 60)}`);
    }
    return found;
}
