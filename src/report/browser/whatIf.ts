import { plain } from '../../units/plain.js';
import type { Design, Field, WhatIfData } from '../whatIf/model.js';
import { frameOf, reachDrawing } from '../whatIf/reachDrawing.js';
import { reachOf } from '../whatIf/reachOf.js';
import { designWords, indexWords, kitFor, reachWords } from '../whatIf/words.js';

/** Wakes the what-if of the page, where it has one: sliders change the plate, share and picture follow. */
export function wakeWhatIf(): void {
    const frame = document.getElementById('what-if');
    const form = frame?.querySelector('form');
    if (!frame || !form) return;
    const data = JSON.parse(frame.querySelector('script')!.textContent!) as WhatIfData;
    const control = (name: string) => form.elements.namedItem(name) as HTMLInputElement | HTMLSelectElement;
    const number = (name: string) => Number(control(name).value);
    const [sentence, byIndex] = frame.querySelectorAll('.said > *');
    const plot = frame.querySelector('.plot')!;
    const shown = frame.querySelector('.shown')!;
    const field = (): Field => data.fields.find((one) => one.name === control('field').value)!;
    let kit = data.kits[0]!;
    let half_frame = 0;
    /** Sliders that were moved: until then the plate is the kit's, wherever the steps of a slider would put it. */
    const moved = new Set<string>();

    function values() {
        const at = (name: string, own: number) => (moved.has(name) ? number(name) : own);
        const { half_mm, side_mm, middle, axis_deg } = kit.design;
        return {
            half_mm: at('half_mm', half_mm),
            side_mm: at('side_mm', side_mm),
            middle_out: at('middle_out', middle.out),
            middle_aft: at('middle_aft', middle.aft),
            axis_deg: at('axis_deg', axis_deg),
        };
    }

    function design(): Design {
        const { half_mm, side_mm, middle_out, middle_aft, axis_deg } = values();
        return { ...kit.design, half_mm, side_mm, middle: { out: middle_out, aft: middle_aft }, axis_deg };
    }

    function show(): void {
        const reach = reachOf(field(), design(), field().effectiveCount[kit.kit] ?? 1);
        half_frame = Math.max(half_frame, frameOf(field(), design()));
        sentence!.textContent = reachWords(field(), reach);
        byIndex!.textContent = indexWords(reach);
        shown.textContent = `${field().name}; started from ${kit.kit}. ${designWords(design())}`;
        plot.innerHTML = reachDrawing(field(), design(), reach, half_frame);
        for (const [name, value] of Object.entries(values())) {
            const output = control(name).parentElement!.querySelector('output')!;
            output.value = `${plain(value, 2).replace('-', '−')} ${output.dataset.unit}`;
        }
    }

    /** Puts the sliders where the chosen kit has them. */
    function start(): void {
        kit = kitFor(data.kits, control('kit').value, field().chassis) ?? kit;
        moved.clear();
        for (const [name, value] of Object.entries(values())) control(name).value = String(value);
        half_frame = 0;
        show();
    }

    form.addEventListener('input', ({ target }) => {
        if (target instanceof HTMLSelectElement) start();
        else {
            moved.add((target as HTMLInputElement).name);
            show();
        }
    });
    form.addEventListener('reset', (event) => {
        event.preventDefault();
        start();
    });
    form.addEventListener('submit', (event) => event.preventDefault());
    form.hidden = false;
    start();
}
