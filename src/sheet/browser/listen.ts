import type { CornerName, Phase } from '../book.js';
import type { TypedColumn, Visit } from '../record.js';
import { byId } from './dom.js';
import type { Sheet } from './sheet.js';

/** Hands what is chosen, pressed and typed on the page to the sheet. */
export function listen(sheet: Sheet): void {
    const chosen = (id: string, hear: (value: string) => void) =>
        byId(id).addEventListener('change', ({ target }) => {
            hear((target as HTMLSelectElement).value);
            sheet.show();
        });
    const pressed = (id: string, hear: (value: string) => void) =>
        byId(id).addEventListener('click', ({ target }) => {
            const value = (target as HTMLElement).closest<HTMLElement>('[data-value]')?.dataset.value;
            if (value !== undefined) hear(value);
        });
    const clicked = (id: string, hear: () => void) => byId(id).addEventListener('click', hear);
    const panel = (open: boolean) => {
        byId('visit').hidden = !open;
        byId('open').setAttribute('aria-expanded', String(open));
    };
    chosen('car', (vehicle) => {
        const car = sheet.cars().find((one) => one.vehicle === vehicle);
        byId('new-car').hidden = car !== undefined;
        if (car === undefined) return panel(true);
        const own = sheet.visits.filter((visit) => visit.vehicle === vehicle && sheet.isUnderWay(visit));
        sheet.visit = own.at(-1) ?? sheet.newVisit(car);
        sheet.resume();
    });
    clicked('use', () => {
        const vehicle = byId<HTMLInputElement>('new-name').value.trim();
        const fits =
            new RegExp(sheet.book.name.pattern, 'u').test(vehicle) &&
            [...vehicle].length <= sheet.book.name.length;
        byId('new-odd').hidden = fits;
        if (!fits) return;
        const chassis = byId<HTMLSelectElement>('new-chassis').value;
        sheet.visit = sheet.newVisit(
            sheet.cars().find((car) => car.vehicle === vehicle) ?? { vehicle, chassis },
        );
        byId('new-car').hidden = true;
        sheet.resume();
        panel(false);
        sheet.show();
    });
    chosen('visits', (id) => {
        sheet.visit = sheet.visits.find((visit) => visit.id === id) ?? sheet.newVisit(sheet.visit);
        sheet.resume();
    });
    chosen('kind', (value) => sheet.writeVisit({ visit_kind: value as Visit['visit_kind'] }));
    chosen('session', (session) => sheet.writeVisit({ session: session.trim() }));
    for (const name of ['gauge', 'technician', 'target'] as const)
        chosen(name, (value) => sheet.writeVisit({ [name]: value }));
    chosen('fit', (kit) => {
        sheet.kitToFit = kit;
    });
    byId('any').addEventListener('change', ({ target }) => {
        sheet.anyIndex = (target as HTMLInputElement).checked;
        sheet.show();
    });
    chosen('kit', (kit) =>
        sheet.write(sheet.row, { kit, plate_hand: kit === '' ? '' : sheet.row.plate_hand }),
    );
    chosen('hand', (hand) => sheet.write(sheet.row, { plate_hand: hand as 'left' | 'right' }));
    const told = (id: string, hear: (change: Record<string, string>) => void) =>
        byId(id).addEventListener('change', ({ target }) => {
            const { dataset, value } = target as HTMLInputElement;
            if (dataset.more !== undefined) hear({ [dataset.more]: value.trim() });
            sheet.show();
        });
    told('conditions', (change) =>
        sheet.writeVisit({ conditions: { ...sheet.visit.conditions, ...change } }),
    );
    told('more', (typed) => sheet.write(sheet.row, { typed }));
    pressed('phase', (phase) => sheet.go({ phase: phase as Phase }));
    pressed('corner', (corner) => sheet.go({ corner: corner as CornerName }));
    pressed('repeat', (repeat) => sheet.go({ repeat: Number(repeat), field: 'camber_deg' }));
    pressed('fields', (field) => {
        if (field === 'plate') byId('plate').hidden = !byId('plate').hidden;
        sheet.go(field === 'plate' ? {} : { field: field as TypedColumn });
    });
    pressed('keypad', (name) => sheet.key(name));
    clicked('open', () => panel(byId('visit').hidden === true));
    clicked('save', () => (sheet.book.served ? sheet.send() : void sheet.save()));
    clicked('file', () => void sheet.save());
    clicked('print', () => print());
    clicked('forget', () => {
        byId('sure').hidden = false;
    });
    clicked('keep', () => {
        byId('sure').hidden = true;
    });
    clicked('drop', () => {
        byId('sure').hidden = true;
        void sheet.forget();
    });
    byId('doubt').addEventListener('click', ({ target }) => {
        const { mend, column } = (target as HTMLElement).dataset;
        if (mend === undefined) return;
        sheet.write(sheet.row, { typed: { [column as TypedColumn]: mend } });
        sheet.show();
    });
    const keys: Record<string, string> = {
        '-': 'sign',
        ',': '.',
        Backspace: 'back',
        Enter: 'next',
        '=': 'same',
    };
    addEventListener('keydown', (event) => {
        if ((event.target as HTMLElement).closest('select, input, a') || event.ctrlKey || event.metaKey)
            return;
        const onButton = (event.target as HTMLElement).closest('button') !== null;
        const name = keys[event.key] ?? event.key;
        if (!/^(\d|\.|sign|back|next|same)$/.test(name) || (onButton && event.key === 'Enter')) return;
        event.preventDefault();
        sheet.key(name);
    });
    sheet.keep.onChange(() => void sheet.refresh());
    // Pages of files do not hear each other.
    setInterval(() => {
        if (document.visibilityState === 'visible') void sheet.refresh();
    }, 3000);
    addEventListener('visibilitychange', () => {
        if (document.visibilityState === 'visible') void sheet.refresh();
    });
}
