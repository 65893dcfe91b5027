import { html, Markup, type Piece } from '../report/html.js';
import { pageAssets } from '../report/page/assets.js';
import { head } from '../report/page/frame.js';

/** Sends the code that is typed, or that came behind the # of a QR code, which no server sees. */
const pairScript = `const form=document.querySelector('form'),said=document.querySelector('output');
const send=async()=>{said.value='';const answer=await fetch('/pair',{method:'POST',headers:{'Content-Type':'application/json'},body:JSON.stringify({code:form.code.value})}).catch(()=>null);
if(answer!==null&&answer.ok)location.replace('/sheet.html');else said.value=answer===null?'The server does not answer.':await answer.text()};
form.addEventListener('submit',(event)=>{event.preventDefault();send()});
if(location.hash.length>1){form.code.value=location.hash.slice(1);history.replaceState(null,'',location.pathname);send()}`;

function page(title: string, body: Piece, script?: string): string {
    const { style } = pageAssets();
    return html`${head(title, { style, script }, ...(script === undefined ? [] : ["connect-src 'self'"]))}<body>
<main class="plain">
<h1>${title}</h1>
${body}
</main>
${script === undefined ? null : html`<script>${new Markup(script)}</script>`}
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
