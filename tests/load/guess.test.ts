import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { parseDocument } from 'yaml';
import { UserError } from '../../src/errors/errors.js';
import { noTable } from '../../src/errors/messages.js';
import { draftMap } from '../../src/load/map/draftMap.js';
import { cornerOf, headerWords, phaseOf, templateOf } from '../../src/load/map/guess/headerWords.js';
import { angleUnit, camberSign, dateOrder, decimalMark } from '../../src/load/map/guess/valueGuess.js';

const folder = mkdtempSync(join(tmpdir(), 'strutmark-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

function draft(content: string | Uint8Array) {
    const file = join(folder, 'file.csv');
    writeFileSync(file, content);
    return draftMap(file);
}

// Words of the trade in five languages: common practice, no source.
test.each([
    ['VL Sturz vorher', 'camber_deg', '{corner} Sturz {phase}'],
    ['Sturz vorne links', 'camber_deg', 'Sturz {corner}'],
    ['Nachlauf_HR_nachher', 'caster_deg', 'Nachlauf_{corner}_{phase}'],
    ['Gesamtspur VA', 'toe_deg', 'Gesamtspur {axle}'],
    ['Spreizung links', 'sai_deg', 'Spreizung {side}'],
    ['Camber LF before', 'camber_deg', 'Camber {corner} {phase}'],
    ['camberFL', 'camber_deg', 'camber{corner}'],
    ['Rear Left Toe, as left', 'toe_deg', '{corner} Toe, {phase}'],
    ['Carrossage avant gauche après', 'camber_deg', 'Carrossage {corner} {phase}'],
    ['Chasse AVD avant', 'caster_deg', 'Chasse {corner} {phase}'],
    ['Caída delantera izquierda antes', 'camber_deg', 'Caída {corner} {phase}'],
    ['Convergencia total eje trasero', 'toe_deg', 'Convergencia total eje {axle}'],
    ['Campanatura AS prima', 'camber_deg', 'Campanatura {corner} {phase}'],
    ['Angolo di incidenza ant. dx dopo', 'caster_deg', 'Angolo di incidenza {corner} {phase}'],
    ['Kennzeichen', 'vehicle', 'Kennzeichen'],
    ['Immatriculation', 'vehicle', 'Immatriculation'],
    ['Matrícula', 'vehicle', 'Matrícula'],
    ['Targa', 'vehicle', 'Targa'],
    ['Fecha', 'date', 'Fecha'],
    ['Uhrzeit', 'time', 'Uhrzeit'],
    ['Kunde', null, 'Kunde'],
    ['caster_sweep_deg', 'caster_sweep_deg', 'caster_sweep_deg'],
    ['caster_method', 'caster_method', 'caster_method'],
    ['Fahrer an Bord', 'driver_aboard', 'Fahrer an Bord'],
    ['Kraftstoff Liter', 'fuel_l', 'Kraftstoff Liter'],
    ['Messplatz', 'place', 'Messplatz'],
])('the column name %s', (name, role, template) => {
    const words = headerWords(name, true);
    expect({ role: words.role, template: templateOf(words) }).toEqual({ role, template });
});

test.each([
    [['1.30', '-0.45'], null, false, 'ASK'],
    [['1.30', '-0.75'], 'deg', false, 'deg'],
    [['1.3', '-0.4'], null, false, 'deg'],
    [["1°30'", "-0°45'"], null, false, 'deg-min'],
    [['1 30', '-0 45'], null, false, 'deg-min'],
    [['90', '-45'], null, false, 'ASK'],
    [['2', '-1'], null, false, 'ASK'],
    [['1.5', '0.75'], null, true, 'ASK'],
    [['1.5', '0.75'], 'mm', true, 'mm'],
    [['1/16', '1/8'], null, true, 'inch'],
] as const)('the unit of %j', (texts, named, isToe, unit) => {
    const answer = angleUnit(texts, named, '.', isToe, texts.join() === '1.30,-0.45');
    expect(answer.value).toBe(unit);
    if (unit === 'ASK') expect(answer.comment).toContain('deg');
});

test('corners and phases in cells', () => {
    for (const [text, corner] of [
        ['LF', 'FL'],
        ['Vorne rechts', 'FR'],
        ['Delantera izquierda', 'FL'],
        ['arrière droite', 'RR'],
        ['PS', 'RL'],
        ['links', undefined],
    ]) {
        expect(cornerOf(text!), text).toBe(corner);
    }
    expect(['as found', 'Después', 'prima', 'links'].map(phaseOf)).toEqual([
        'before',
        'after',
        'before',
        undefined,
    ]);
});

test('what is ambiguous is asked', () => {
    expect(dateOrder(['03/04/2026', '05/06/2026']).value).toBe('ASK');
    expect(dateOrder(['03/04/2026', '25/06/2026']).value).toBe('day-first');
    expect(dateOrder(['03/04/2026', '06/25/2026']).value).toBe('month-first');
    expect(dateOrder(['03.04.2026']).value).toBe('day-first');
    expect(dateOrder(['2026-04-03']).value).toBe('iso');
    expect(dateOrder([]).value).toBe('ASK');
    expect(camberSign([1.5, 2]).value).toBe('ASK');
    expect(camberSign([1.5, -2]).value).toBe('false');
    expect(decimalMark(['1,5', '2', 'a,b'])).toBe(',');
    expect(decimalMark(['2', '-1'])).toBeNull();
});

test('sides without axle, phases that a column does not tell, steered and nominal readings', () => {
    const { map, questions } = draft(
        [
            'Plate,Date,Camber left,Camber right,Camber left lock 20,Camber left min,Owner',
            'A,2026-05-01,-1.25,-1.75,0.5,-2.0,x',
            '',
        ].join('\n'),
    );
    expect(map).toContain('corner: { left: ASK, right: ASK }');
    expect(map).toMatch(/- Camber left lock 20 +# a reading with the steering turned/);
    expect(map).toMatch(/- Camber left min +# a nominal value or a limit/);
    expect(map).toMatch(/- Owner +# such as x/);
    expect(questions.map(({ key }) => key)).toContain('unfold.corner.left');
    const phased = draft(
        'Plate,Date,Camber FL before,Camber FL after,Caster FL\nA,2026-05-01,-1.25,-1.75,5.5\n',
    );
    expect(phased.map).toMatch(/- Caster FL +# does not say of which phase/);
});

test('a column of axles and sides in the names, and the other way round, are put together', () => {
    const axles = draft(
        'Plate,Date,Axle,Camber left,Camber right\nA,2026-05-01,front,-1.25,-1.75\nA,2026-05-01,rear,-1.5,\n',
    );
    expect(axles.map).toContain('side: { left: left, right: right }');
    expect(axles.map).toContain('text: "{Axle} {side}"');
    expect(axles.map).toContain('words: { front left: FL, front right: FR, rear left: RL, rear right: RR }');
    expect(axles.preview.map(({ values }) => [values.corner, values.camber_deg])).toEqual([
        ['FL', -1.25],
        ['FR', -1.75],
        ['RL', -1.5],
    ]);
    const sides = draft('Plate,Date,Side,Camber front,Camber rear\nA,2026-05-01,left,-1.25,-1.75\n');
    expect(sides.map).toContain('text: "{axle} {Side}"');
    expect(sides.preview.map(({ values }) => values.corner)).toEqual(['FL', 'RL']);
    const both = draft(
        'Plate,Date,axle,side,Camber\nA,2026-05-01,front,left,-1.25\nA,2026-05-01,rear,right,-1.75\n',
    );
    expect(both.map).toContain('words: { front left: FL, rear right: RR }');
});

test('in a wide file, what does not say of which corner and phase is left to the user', () => {
    const { map } = draft(
        [
            'Plate,Date,Camber FL before,Camber RL before,Camber FL after,Camber RL after,Total toe before,Total toe after,Toe,Kit',
            'A,2026-05-01,-1.25,-1.75,-2.25,-1.7,0.1,0.2,0.3,K1',
            '',
        ].join('\n'),
    );
    expect(map).toContain('camber_deg:');
    expect(map).not.toMatch(/^ {2}(toe_deg|kit):/m);
    expect(map).toMatch(/- Total toe before +# does not say of which axle/);
    expect(map).toMatch(/- Toe +# does not say of which corner and phase/);
    expect(map).toMatch(/- Kit +# does not say of which corner and phase/);
});

test('a footer that no column tells is dropped by how it begins', () => {
    const rows = [
        'A,2026-05-01,FL,before,-1.25,x',
        ',2026-05-01,FR,before,-1.25,',
        'B,,FL,before,-1.5,x',
        'C,2026-05-01,,,,x',
    ];
    const { map } = draft(`Plate,Date,Corner,Phase,Camber,Remark\n${rows.join('\n')}\n- (end) -\n`);
    const drop = parseDocument(map).toJS().drop;
    expect(drop).toEqual([{ line: '^- \\(end\\) -' }]);
    expect(new RegExp(drop[0].line, 'u').test('- (end) -')).toBe(true);
});

test('quotation marks that stand for seconds', () => {
    const { map, preview } = draft('Plate;Date;Corner;Phase;Camber\nA;2026-05-01;FL;before;-1°30\'30"\n');
    expect(map).toContain('quote: none');
    expect(preview[0]!.values.camber_deg).toBeCloseTo(-(1 + 30 / 60 + 30 / 3600), 9);
});

test('text that could be YAML stays text', () => {
    const names = ['yes', '- a', '#x', 'a: b', '"q"', 'ASK me', '{x}', "it's", '*', '&a', '!t', '@', '%'];
    const header = names.map((name) => `"${name.replaceAll('"', '""')}"`).join(',');
    const { map } = draft(`Plate,${header}\n${'A,'.repeat(names.length)}B\n`);
    const parsed = parseDocument(map);
    expect(parsed.errors).toEqual([]);
    expect(parsed.toJS().ignore).toEqual(names);
});

test('no table, no map', () => {
    const file = join(folder, 'file.csv');
    for (const content of ['word\n', 'a,b\n', '\n\n', 'one\ntwo\nthree\n']) {
        writeFileSync(file, content);
        expect(() => draftMap(file), content).toThrow(UserError);
    }
    writeFileSync(file, 'word\n');
    expect(() => draftMap(file)).toThrow(new UserError(noTable(file)));
});

test('any file that holds a table gets a map that is YAML, fits it and shows rows or says what is wrong', () => {
    const cases = join(import.meta.dirname, '../../fixtures');
    const files = readdirSync(cases, { recursive: true, encoding: 'utf8' })
        .filter((name) => /\.(csv|tsv|txt)$/.test(name))
        .map((name) => readFileSync(join(cases, name)).subarray(0, 20_000));
    let drafted = 0;
    for (const [n, bytes] of files.entries()) {
        // Each file in two of four ways.
        const cuts = n % 2 === 0 ? [0, Math.floor(bytes.length / 3)] : [1, Math.floor(bytes.length / 2)];
        for (const cut of cuts) {
            const mutated = Buffer.concat([
                bytes.subarray(0, bytes.length - cut),
                bytes.subarray(cut, cut + 300),
            ]);
            let found: ReturnType<typeof draft>;
            try {
                found = draft(mutated);
            } catch (error) {
                expect(error).toBeInstanceOf(UserError);
                expect((error as Error).message).not.toContain('do not fit');
                continue;
            }
            drafted++;
            expect(parseDocument(found.map).errors).toEqual([]);
        }
    }
    expect(drafted).toBeGreaterThan(100);
});

test('conditions of a reading in our own words, and yes and no in theirs', () => {
    const { map } = draft(
        [
            'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,driver_aboard,remounted,Kraftstoff Liter',
            'A,OTTER,FL,2026-01-05,v,check,before,-1.5,ja,no,40',
            'A,OTTER,FR,2026-01-05,v,check,before,-1.5,nein,yes,41',
            '',
        ].join('\n'),
    );
    const { columns } = parseDocument(map).toJS() as { columns: Record<string, unknown> };
    expect(columns).toMatchObject({
        driver_aboard: { column: 'driver_aboard', words: { ja: 'yes', nein: 'no' } },
        remounted: { column: 'remounted', words: { yes: 'yes', no: 'no' } },
        fuel_l: { column: 'Kraftstoff Liter', unit: 'l' },
    });
});
