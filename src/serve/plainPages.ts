import { createHash } from 'node:crypto';
import { html, Markup, type Piece } from '../report/html.js';
import { pageAssets } from '../report/page/assets.js';

const sha256 = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

/** Sends the code that is typed, or that came behind the # of a QR code, which no server sees. */
const pairScript = `const form=document.querySelector('form'),said=document.querySelector('output');
const send=async()=>{said.value='';const answer=await fetch('/pair',{method:'POST',headers:{'Content-Type':'application/json'},body:JSON.stringify({code:form.code.value})}).catch(()=>null);
if(answer!==null&&answer.ok)location.replace('/sheet.html');else said.value=answer===null?'The server does not answer.':await answer.text()};
form.addEventListener('submit',(event)=>{event.preventDefault();send()});
if(location.hash.length>1){form.code.value=location.hash.slice(1);history.replaceState(null,'',location.pathname);send()}`;

function page(title: string, body: Piece, script: string | null): string {
    const { style } = pageAssets();
    const scripts = script === null ? '' : ` script-src ${sha256(script)}; connect-src 'self';`;
    const policy = `default-src 'none';${scripts} style-src ${sha256(style)}; base-uri 'none'; form-action 'none'`;
    return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${title} - Strutmark</title>
<style>${new Markup(style)}</style>
</head>
<body>
<main>
<h1>${title}</h1>
${body}
</main>
${script === null ? null : html`<script>${new Markup(script)}</script>`}
</body>
</html>
`.text;
}

/** What there is to open. */
export function startPage(reports: readonly { name: string; title: string }[]): string {
    const links = [{ name: 'sheet', title: 'Readings at the car' }, ...reports];
    return page(
        'Workshop',
        html`<ul>${links.map(({ name, title }) => html`<li><a href="/${name}.html">${title}</a></li>\n`)}</ul>`,
        null,
    );
}

/** Where a device that is not paired lands. */
export function pairPage(): string {
    return page(
        'Pair this device',
        html`<form><p><label>Code that the server shows <input name="code" autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="20"></label> <button>Pair</button></p><p><output></output></p></form>`,
        pairScript,
    );
}
