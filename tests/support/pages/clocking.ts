export { default } from './card.js';
