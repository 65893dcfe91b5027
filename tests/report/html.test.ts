import { describe, expect, test } from 'vitest';
import { html, Markup, scriptJson } from '../../src/report/html.js';

describe('html template', () => {
    test('escapes what is put in, in text and in attributes', () => {
        const nasty = `<script>alert("1")</script> & 'x'`;
        expect(html`<p title="${nasty}">${nasty}</p>`.text).toBe(
            '<p title="&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; &#39;x&#39;">&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; &#39;x&#39;</p>',
        );
    });

    test('keeps markup, joins lists, leaves null out', () => {
        expect(html`<ul>${['<', 2].map((item) => html`<li>${item}</li>`)}${null}</ul>`.text).toBe(
            '<ul><li>&lt;</li><li>2</li></ul>',
        );
        expect(html`${new Markup('<b>')}`.text).toBe('<b>');
    });

    test('JSON cannot end its script element, and reads back', () => {
        const value = { text: '</script><!--<script>', number: 1.5 };
        const { text } = scriptJson(value);
        expect(text).not.toContain('<');
        expect(JSON.parse(text)).toEqual(value);
    });
});
