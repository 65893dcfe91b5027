import { readings } from '../contracts/readings.js';
import { estimateStatement, shortCaution } from '../report/cautions.js';
import { html, Markup, scriptJson } from '../report/html.js';
import { pageAssets } from '../report/page/assets.js';
import { cautionsMarkup, head } from '../report/page/frame.js';
import type { Book } from './book.js';
import { conditionColumns, moreColumns } from './record.js';

const keys: readonly [name: string, text: string, label?: string][] = [
    ['7', '7'],
    ['8', '8'],
    ['9', '9'],
    ['back', '⌫', 'delete'],
    ['4', '4'],
    ['5', '5'],
    ['6', '6'],
    ['sign', '+/−', 'sign'],
    ['1', '1'],
    ['2', '2'],
    ['3', '3'],
    ['same', 'same', 'the same as before'],
    ['.', '.', 'point'],
    ['0', '0'],
    ['next', 'next'],
];

const kinds = {
    adjust: 'adjust',
    install: 'install',
    check: 'only read',
    session: 'before or after running',
};

/** Fields of columns of the contract under their words: a choice, a number or a text, blank = not told. */
function moreFields(columns: Readonly<Record<string, string>>): Markup[] {
    return Object.entries(columns).map(([name, words]) => {
        const { type, words: choices, min, max } = readings.columns.find((column) => column.name === name)!;
        const blank = html`<option value=""></option>`;
        const field =
            type === 'choice'
                ? html`<select data-more="${name}">${blank}${choices.map((word) => html`<option>${word}</option>`)}</select>`
                : type === 'text'
                  ? html`<input data-more="${name}" maxlength="200" autocomplete="off">`
                  : html`<input data-more="${name}" type="number" step="any" min="${min}" max="${max}">`;
        return html`<label>${words} ${field}</label>`;
    });
}

const panel = html`<section id="visit" aria-label="This visit" hidden>
<div id="new-car" class="across" hidden><label>name of the car <input id="new-name" autocomplete="off" spellcheck="false"></label><label>chassis <select id="new-chassis"></select></label><p id="new-odd" class="line" role="alert" hidden>A name is one line of at most 200 characters that can be seen.</p><button type="button" id="use">Use this car</button></div>
<label class="across">visit <select id="visits"></select></label>
<label>what for <select id="kind">${Object.entries(kinds).map(([value, text]) => html`<option value="${value}">${text}</option>`)}</select></label>
<label id="session-label">name of the running <input id="session" autocomplete="off" spellcheck="false" maxlength="200"></label>
<label>gauge <select id="gauge"></select></label>
<label>who reads <select id="technician"></select></label>
<details class="across"><summary>conditions</summary><div id="conditions" class="fold">${moreFields(conditionColumns)}</div></details>
<label>kit to fit <select id="fit"></select></label>
<label class="tick"><input type="checkbox" id="any"> any bolt position and hand</label>
<button type="button" id="file">Save a file</button><button type="button" id="print">Print on A5</button>
<button type="button" id="forget" class="across">Take this visit off the device</button>
<div id="sure" class="across line" role="alert" hidden><span>Its readings are then only where they were saved.</span><button type="button" id="drop">Take it off</button><button type="button" id="keep">Keep it</button></div>
</section>`;

/** The page of a sheet: same book, same bytes. */
export function sheetPage(book: Book): string {
    const assets = pageAssets('sheet.js', 'sheet-style.css');
    const buttons = keys.map(
        ([name, text, label]) =>
            html`<button type="button" data-value="${name}"${label === undefined ? null : html` aria-label="${label}"`}${/^[a-z]/.test(text) ? html` class="word"` : null}>${text}</button>`,
    );
    return html`${head('Sheet', assets, ...(book.served ? ["connect-src 'self'"] : []))}<body>
<main>
<div class="screen">
<h1 class="unseen">Readings at the car</h1>
<div class="bar"><select id="car" aria-label="car"></select><select id="target" aria-label="target"></select><button type="button" id="open" aria-expanded="false" aria-controls="visit">Visit</button><button type="button" id="save">Save</button></div>
${panel}
<div class="group" id="phase" role="group" aria-label="state"></div>
<div class="bar"><div class="group" id="corner" role="group" aria-label="corner"></div><div class="group" id="repeat" role="group" aria-label="repeated reading"></div></div>
<div id="fields" role="group" aria-label="readings"></div>
<div id="plate" hidden><select id="kit" aria-label="kit on this corner"></select><select id="hand" aria-label="plate"><option value="left">left plate</option><option value="right">right plate</option></select></div>
<details id="more"><summary>more of this reading</summary><div class="fold">${moreFields(moreColumns)}</div></details>
<section id="answer" aria-label="answer"><table id="numbers"></table><p id="repeats"></p></section>
<p id="kept" class="line" role="alert" hidden></p>
<p id="sent" class="line" role="status" hidden></p>
<p id="doubt" class="line" role="status" hidden></p>
<div id="keypad" role="group" aria-label="keypad">${buttons}</div>
<p class="caution">${shortCaution} <a href="#cautions">All of it.</a></p>
</div>
<div class="more">
<section aria-labelledby="earlier-head"><h2 id="earlier-head">Earlier readings of <span id="earlier-corner"></span></h2><table><thead><tr><th scope="col">when</th><th scope="col">index</th><th scope="col">mark</th><th scope="col">camber</th><th scope="col">caster</th><th scope="col">toe</th></tr></thead><tbody id="earlier"></tbody></table></section>
${cautionsMarkup(estimateStatement, html`<p>Intervals are 95 %, of the true angle. Toe is per wheel, in degrees. From ${book.made}.</p>`)}</div>
</main>
<div id="paper"></div>
<script type="application/json" id="book">${scriptJson(book)}</script>
<script>${new Markup(assets.script)}</script>
</body>
</html>
`.text;
}
