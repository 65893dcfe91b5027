import type { Design, Field, WhatIfData } from '../whatIf/model.js';
import { frameOf, reachDrawing } from '../whatIf/reachDrawing.js';
import { reachOf } from '../whatIf/reachOf.js';
import { indexWords, kitFor, reachWords } from '../whatIf/words.js';

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

    function design(): Design {
        return {
            ...kit.design,
            half_mm: number('half_mm'),
            side_mm: number('side_mm'),
            middle: { out: number('middle_out'), aft: number('middle_aft') },
            axis_deg: number('axis_deg'),
        };
    }

    function show(): void {
        const reach = reachOf(field(), design(), field().effectiveCount[kit.kit] ?? 1);
        half_frame = Math.max(half_frame, frameOf(field(), design()));
        sentence!.textContent = reachWords(field(), reach);
        byIndex!.textContent = indexWords(reach);
        plot.innerHTML = reachDrawing(field(), design(), reach, half_frame);
        for (const label of form!.querySelectorAll('label:has(output)')) {
            const output = label.querySelector('output')!;
            output.value = `${label.querySelector('input')!.value.replace('-', '−')} ${output.dataset.unit}`;
        }
    }

    /** Puts the sliders where the chosen kit has them. */
    function start(): void {
        kit = kitFor(data.kits, control('kit').value, field().chassis) ?? kit;
        const { half_mm, side_mm, middle, axis_deg } = kit.design;
        const values = { half_mm, side_mm, middle_out: middle.out, middle_aft: middle.aft, axis_deg };
        for (const [name, value] of Object.entries(values)) control(name).value = String(value);
        shown.textContent = `${field().name}; started from ${kit.kit}.`;
        half_frame = 0;
        show();
    }

    form.addEventListener('input', ({ target }) => (target instanceof HTMLSelectElement ? start() : show()));
    form.addEventListener('reset', (event) => {
        event.preventDefault();
        start();
    });
    form.addEventListener('submit', (event) => event.preventDefault());
    form.hidden = false;
    start();
}
