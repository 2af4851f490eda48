// Takes the README's pictures from the example workshop: GAUGEGLASS=… node tests/browser/pictures.mjs
import { fileURLToPath } from 'node:url';
import { browse, serve } from './support.mjs';

const FOLDER = new URL('../pictures/', import.meta.url);
const program = await serve();
const browser = await browse();

async function take(page, name) {
  await page.screenshot({ path: fileURLToPath(new URL(`${name}.png`, FOLDER)) });
}

const desk = await browser.page({ width: 1280, height: 1090 });
await desk.goto(program.address);
await desk.locator('form[action="/start/example"] button').click();
await take(desk, 'bench');

const phone = await browser.page({ width: 390, height: 844 });
await phone.goto(`${program.address}/jobs/26-003/trials/new`);
await phone.fill('#question', 'Does the new ball hold?');
await phone.getByRole('button', { name: 'Prepare the trial' }).click();
await phone.getByRole('button', { name: 'It is lit already: record it' }).click();
await phone.getByRole('button', { name: /^Seen/ }).first().click();
await phone.fill('#pressure_bar', '3.2');
await phone.fill('#level_mm', '38');
await phone.getByRole('button', { name: 'Save', exact: true }).click();
await phone.getByRole('button', { name: /^BELOW/ }).click();
await phone.getByText('No water seen in the glass, and it is hot.').first().waitFor();
await take(phone, 'stop');

await browser.stop();
await program.stop();
await program.forget();
