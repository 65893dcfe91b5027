import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Database } from '../../src/db/database.js';
import { otherSpelling, stateOfNoDay } from '../../src/errors/messages.js';
import { advise, adviseNeeds } from '../../src/model/advise.js';
import { clocking, clockingNeeds } from '../../src/model/clocking.js';
import { modelOf } from '../support/memory.js';
import { plainKit, standing } from '../support/settings.js';

/** Cars whose newest state may not be theirs: a name in two spellings, a date that cannot be. */
let db: Database;
beforeAll(async () => {
    db = await modelOf(
        {
            kits: [plainKit],
            targets: [{ target: 'street', camber_deg: -1, camber_tol_deg: 0.2 }],
            readings: [
                standing('FL', { vehicle: 'Käfer-7' }),
                standing('FL', { vehicle: 'käfer 7'.normalize('NFD'), measured_at: '2026-04-01' }),
                standing('FR', { vehicle: 'käfer 7'.normalize('NFD'), measured_at: '2026-04-01' }),
                standing('FL', { vehicle: 'Käfer-8' }),
                standing('FL', { vehicle: 'typed', visit: 'old', measured_at: '2052-03-01' }),
                standing('FL', { vehicle: 'typed', measured_at: '2026-03-01' }),
                standing('FL', { vehicle: 'replaced', visit: 'old', measured_at: '1926-03-01' }),
                standing('FL', { vehicle: 'replaced', measured_at: '2026-03-01' }),
            ],
        },
        1,
        [...adviseNeeds, ...clockingNeeds],
    );
    await db.run("insert into loads (load_id, loaded_at) values (1, timestamp '2026-05-01 12:00')");
});
afterAll(() => db.close());

const asked = async (vehicle: string) => (await advise(db, { vehicle, targets: ['street'] })).notes;

test('the other half of a name that was split is named, whichever is asked', async () => {
    const other = 'käfer 7'.normalize('NFD');
    expect(await asked('Käfer-7')).toContain(otherSpelling('Käfer-7', other, 2));
    expect(await asked(other)).toContain(otherSpelling(other, 'Käfer-7', 1));
    const { notes } = await clocking(db, { vehicle: 'Käfer-7', kit: 'K', targets: ['street'] });
    expect(notes).toContain(otherSpelling('Käfer-7', other, 2));
});

test('a newest state of a day that cannot be is said to be one, with its date', async () => {
    const notes = await asked('typed');
    expect(notes).toContain(stateOfNoDay('typed', 'old', '2052-03-01', '2026-05-01'));
    expect(notes.at(-1)).toContain('read 2052-03-01');
});

test('else there is nothing to say but from when the state is', async () => {
    for (const vehicle of ['Käfer-8', 'replaced']) {
        const notes = await asked(vehicle);
        expect(notes.filter((note) => /differs from|dated/.test(note))).toEqual([]);
        expect(notes.at(-1)).toMatch(/^Starts from the newest readings: .*, read 2026-03-01\.$/);
    }
});

test.each([
    ['KÄFER-8', 'Käfer-8'],
    ['käfer  8'.normalize('NFD'), 'Käfer-8'],
    [' Käfer_7', 'Käfer-7'],
    ['Käfr-8', 'Käfer-8'],
    ['tpyed', 'typed'],
])('asking for %s: did you mean %s?', async (name, meant) => {
    await expect(asked(name)).rejects.toThrow(`Did you mean "${meant}"?`);
});

test.each(['Käfer-9', 'other car', 'K'])('nothing is guessed for %s', async (name) => {
    await expect(asked(name)).rejects.toThrow(/\)\.$/);
});

test('targets and kits too', async () => {
    await expect(advise(db, { vehicle: 'typed', targets: ['Street'] })).rejects.toThrow(
        'Did you mean "street"?',
    );
    await expect(advise(db, { vehicle: 'typed', targets: ['street'], kit: 'k' })).rejects.toThrow(
        'Did you mean "K"?',
    );
});
