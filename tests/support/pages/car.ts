export { default } from './drift.js';
