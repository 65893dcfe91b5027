/** Whose habit a mistake may be, the widest first. */
const kinds = ['file', 'technician', 'gauge', 'visit'] as const;

/** Where some readings come from. */
export interface Origin {
    chassis: string;
    vehicle: string;
    visit: string;
    file: string;
    line: number;
    technician: string | null;
    gauge: string | null;
}

/** The readings of a file, technician, gauge or visit, with what is summed over them. */
export class Source<Sums> {
    readonly kind: (typeof kinds)[number];
    readonly name: string;
    readonly sums: Sums;
    /** Wider sources that hold some of the same readings. */
    readonly wider = new Set<Source<Sums>>();
    readonly #first: Origin;
    #file: string;
    #line: number;

    constructor(kind: (typeof kinds)[number], name: string, first: Origin, sums: Sums) {
        [this.kind, this.name, this.sums] = [kind, name, sums];
        [this.#first, this.#file, this.#line] = [first, first.file, first.line];
    }

    hear({ file, line }: Origin): void {
        if (file > this.#file || (file === this.#file && line >= this.#line)) return;
        [this.#file, this.#line] = [file, line];
    }

    /** What a finding about it names. */
    get place() {
        const of = this.kind === 'visit' ? this.#first : null;
        return {
            chassis: of?.chassis ?? null,
            vehicle: of?.vehicle ?? null,
            corner: null,
            visit: of?.visit ?? null,
            source_file: this.#file,
            source_line: this.#line,
            source_kind: this.kind,
            source_name: this.name,
        };
    }
}

/** All sources of the readings that came. */
export class Sources<Sums> {
    readonly #blank: () => Sums;
    readonly #byName = kinds.map((kind) => ({ kind, named: new Map<string, Source<Sums>>() }));

    constructor(blank: () => Sums) {
        this.#blank = blank;
    }

    /** Those of one origin, the widest first. */
    of(origin: Origin): Source<Sums>[] {
        const { file, technician, gauge, vehicle, visit } = origin;
        const names = [file, technician, gauge, `${vehicle} ${visit}`];
        const found: Source<Sums>[] = [];
        for (const [at, { kind, named }] of this.#byName.entries()) {
            const name = names[at]!;
            if (name === null) continue;
            const source = named.get(name) ?? new Source(kind, name, origin, this.#blank());
            named.set(name, source);
            source.hear(origin);
            for (const one of found) source.wider.add(one);
            found.push(source);
        }
        return found;
    }

    /** The sources that are likelier wrong than not; what belongs to one already named adds nothing. */
    likely(pOf: (source: Source<Sums>) => number): { source: Source<Sums>; p: number }[] {
        const all = this.#byName.flatMap(({ named }) => [...named.values()]);
        const judged = all.map((source) => ({ source, p: pOf(source) }));
        const likely = new Map(judged.filter(({ p }) => p >= 0.5).map((one) => [one.source, one]));
        return [...likely.values()].filter(({ source }) => ![...source.wider].some((one) => likely.has(one)));
    }
}
