import { readFileSync, statSync } from 'node:fs';
import { type Document, isMap, isPair, isScalar, LineCounter, parseDocument, visit } from 'yaml';
import { type ImportMap, importMap } from '../../contracts/map.js';
import { UserError } from '../../errors/errors.js';
import { missingFile } from '../../errors/loadMessages.js';
import { brokenYaml, cannotReadMap, mapFault, mapTooLarge, openQuestion } from '../../errors/mapMessages.js';
import { ASK } from './ask.js';
import { mapFaults } from './mapFaults.js';
import { schemaFaults } from './schemaFaults.js';

/** A map, and the file that it was read from. */
export interface MapFile {
    file: string;
    map: ImportMap;
}

const MAX_MAP_BYTES = 1024 * 1024;

function readText(file: string): string {
    try {
        const stats = statSync(file);
        // A pipe or device may never end.
        if (!stats.isFile()) throw new UserError(cannotReadMap(file, 'it is a folder, pipe or device'));
        if (stats.size > MAX_MAP_BYTES) throw new UserError(mapTooLarge(file));
        return new TextDecoder('utf-8', { fatal: true }).decode(readFileSync(file));
    } catch (error) {
        if (error instanceof UserError) throw error;
        const { code, message } = error as NodeJS.ErrnoException;
        throw new UserError(code === 'ENOENT' ? missingFile(file) : cannotReadMap(file, message));
    }
}

/** Offset in the text of the value that `path` leads to, or of what comes closest above it. */
function offsetOf(document: Document, path: readonly PropertyKey[]): number {
    for (let length = path.length; length > 0; length--) {
        const parent = document.getIn(path.slice(0, length - 1), true);
        const name = String(path[length - 1]);
        const pair = isMap(parent)
            ? parent.items.find(({ key }) => isScalar(key) && String(key.value) === name)
            : undefined;
        const node = pair?.key ?? document.getIn(path.slice(0, length), true);
        const range = (node as { range?: [number, number, number] } | undefined)?.range;
        if (range != null) return range[0];
    }
    return 0;
}

/** The open questions of a map: line, keys that lead there, and the comment that asks. */
export function questionsOf(text: string): { line: number; key: string; question: string }[] {
    const lineCounter = new LineCounter();
    const lines = text.split('\n');
    const found: { line: number; key: string; question: string }[] = [];
    visit(parseDocument(text, { lineCounter }), {
        Scalar: (_, { value, range }, ancestors) => {
            if (value !== ASK || range == null) return;
            const { line } = lineCounter.linePos(range[0]);
            const keys = ancestors.flatMap((one) =>
                isPair(one) && isScalar(one.key) ? [String(one.key.value)] : [],
            );
            const [, ...comment] = lines[line - 1]!.split('#');
            found.push({ line, key: keys.join('.'), question: comment.join('#').trim() });
        },
    });
    return found;
}

/** Throws a {@link UserError} where aliases lead nowhere or grow without end. */
function plainValue(file: string, document: Document): unknown {
    try {
        return document.toJS() ?? {};
    } catch (error) {
        throw new UserError(brokenYaml(file, 1, (error as Error).message));
    }
}

/** Throws a {@link UserError} that names every fault of the map with its line. */
export function parseMap(file: string, text: string): ImportMap {
    const lineCounter = new LineCounter();
    const document = parseDocument(text, { lineCounter });
    const [error] = document.errors;
    if (error !== undefined) {
        const { line } = lineCounter.linePos(error.pos[0]);
        throw new UserError(
            brokenYaml(file, line, error.message.split('\n')[0]!.replace(/ at line .*$/, '')),
        );
    }
    const questions = questionsOf(text);
    if (questions.length > 0) {
        throw new UserError(questions.map((question) => openQuestion(file, question)).join('\nerror: '));
    }
    const parsed = importMap.safeParse(plainValue(file, document));
    const faults = parsed.success ? mapFaults(parsed.data) : schemaFaults(parsed.error.issues);
    if (faults.length > 0) {
        const lines = faults.map(({ path, message }) => {
            const { line } = lineCounter.linePos(offsetOf(document, path));
            return mapFault(file, line, path.map(String), message);
        });
        throw new UserError(lines.join('\nerror: '));
    }
    return parsed.data!;
}

/** Reads a map from a YAML file. Throws a {@link UserError} where it is missing, not YAML, unanswered or at fault. */
export const readMap = (file: string): MapFile => ({ file, map: parseMap(file, readText(file)) });
