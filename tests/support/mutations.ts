import { gzipSync } from 'node:zlib';

/** Park and Miller's minimal standard generator (Communications of the ACM 31, 1988), for the same files every time. */
export function generator(seed: number): (below: number) => number {
    let state = seed;
    return (below) => {
        state = (state * 48271) % 2147483647;
        return state % below;
    };
}

type Random = ReturnType<typeof generator>;

const texts = [
    '"',
    '""',
    '"\n"',
    '"\r\n',
    "'",
    ',',
    ',,',
    ';',
    '\t',
    '|',
    '\n',
    '\n\n',
    '\r',
    '\r\n',
    '\0',
    '\u001f',
    '\u009b',
    ' ',
    '\u00a0',
    '\ufeff',
    'é',
    '°',
    '😀',
    '-',
    '1e999',
    '-1e-400',
    '99999999999999999999999999',
    '9'.repeat(400),
    'NaN',
    '1_000',
    '0x1f',
    'NA',
    '/0',
    'FL',
];
const strayBytes = [0x80, 0x81, 0xc2, 0xe2, 0xf0, 0xff];
const pieces = [
    ...texts.map((text) => Buffer.from(text)),
    ...strayBytes.map((code) => Buffer.from([code])),
    Buffer.alloc(300),
];

function pick<T>(from: readonly T[], random: Random): T {
    return from[random(from.length)]!;
}

/** Inserts, deletes, replaces, repeats or cuts off a stretch from byte `first` on, or puts in one of another file. */
function edit(bytes: Buffer, first: number, others: readonly Buffer[], random: Random): Buffer {
    const at = Math.min(bytes.length, first + random(Math.max(bytes.length - first, 0) + 1));
    const length = random(40);
    const head = bytes.subarray(0, at);
    const rest = bytes.subarray(at);
    const tail = bytes.subarray(at + length);
    const piece = pick(pieces, random);
    const other = pick(others, random);
    const from = random(other.length + 1);
    const kinds = [
        () => Buffer.concat([head, piece, rest]),
        () => Buffer.concat([head, tail]),
        () => Buffer.concat([head, piece, tail]),
        () => Buffer.concat([head, bytes.subarray(at, at + length), rest]),
        () => (random(4) === 0 ? head : bytes),
        () => Buffer.concat([head, other.subarray(from, from + 200), rest]),
    ];
    return pick(kinds, random)();
}

const lineEnd = /\r\n|\r|\n/g;

/** The text with its first line changed by `change`, which gets the cells. */
function withHeader(text: string, change: (cells: string[]) => string[]): string {
    const end = text.search(lineEnd);
    if (end === -1) return text;
    return change(text.slice(0, end).split(',')).join(',') + text.slice(end);
}

/** Ways to change a text file as a whole, as other programs and mishaps do. */
const wholes: ((text: string, random: Random) => string | Buffer)[] = [
    (text) => Buffer.from(`\ufeff${text}`, 'utf16le'),
    (text) => Buffer.from(`\ufeff${text}`, 'utf16le').swap16(),
    (text) => Buffer.from(text, 'utf16le'),
    (text) => Buffer.from(text, 'latin1'),
    (text) => `\ufeff${text}`,
    (text) => text.replace(lineEnd, '\r\n'),
    (text) => text.replace(lineEnd, '\r'),
    (text, random) => text.replace(lineEnd, () => pick(['\n', '\r\n', '\r'], random)),
    (text) => text.replace(lineEnd, ''),
    (text) => text.replaceAll(',', ';'),
    (text) => text.replaceAll('"', ''),
    (text) => text.replace(/\d+/g, (digits) => digits.repeat(30)),
    (text, random) => withHeader(text, (cells) => [...cells, pick(cells, random)]),
    (text, random) => withHeader(text, (cells) => cells.toSpliced(random(cells.length), 1)),
    (text, random) => withHeader(text, (cells) => cells.toSpliced(random(cells.length), 1, '')),
    (text) => text.replace(/^.*(\r\n|\r|\n)/, ''),
    (text) => text.replace(/^.*/, '$&\n$&'),
    (text, random) => text.slice(0, random(text.length + 1)),
    (text) => gzipSync(text),
    (text) => text.repeat(3),
    () => '',
];

/**
 * A file as `bytes` might become: up to six edits, mostly from byte `first` on as a header that does not fit ends the
 * matter, and now and then a change of the whole.
 */
export function mutate(bytes: Buffer, first: number, others: readonly Buffer[], random: Random): Buffer {
    let result = bytes;
    const start = random(8) === 0 ? 0 : first;
    for (let edits = random(7); edits > 0; edits--) result = edit(result, start, others, random);
    if (random(6) > 0) return result;
    return Buffer.from(pick(wholes, random)(result.toString('utf8'), random));
}
