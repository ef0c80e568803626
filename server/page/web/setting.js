// A setting of one's own: fence and blades where people put them, checked against
// the best plan.

import { h, button } from './dom.js';
import { Form, refresh } from './form.js';
import { job } from './job.js';
import { width } from './units.js';

export class Setting {
  // tell is called when a value changes, turned when the setting begins or ends.
  constructor(place, tell, turned) {
    Object.assign(this, { place, tell, turned, on: false, values: {}, sliders: [] });
  }

  begin(plan) {
    this.on = true;
    const { fence_mm = 0, blades_mm = [], skew_mm_per_m = 0, turn } = plan.setting;
    this.values.setting = { fence_mm, blades_mm: [...blades_mm], skew_mm_per_m, turn };
    this.rebuild();
    this.turned();
  }

  off() {
    if (!this.on) return;
    this.on = false;
    this.rebuild();
    this.turned();
  }

  move(i, mm) {
    this.values.setting.blades_mm[i] = mm;
    this.write();
  }

  // write shows the values in all fields and sliders.
  write() {
    this.sliders.forEach(({ input, at }) => { if (document.activeElement !== input) input.value = at(); });
    refresh();
  }

  rebuild() {
    this.place.hidden = !this.on;
    this.sliders = [];
    if (!this.on) {
      this.place.replaceChildren();
      return;
    }
    const form = new Form(this.values, () => { this.write(); this.tell(); });
    const saw = job.saw;
    this.place.replaceChildren(
      h('p', {}, 'Drag the blades beside the board, or set them here. Dashed lines show the plan that is compared.'),
      h('div', { class: 'fields' },
        this.axis(form, 'setting.fence_mm', 'Fence', saw.fence),
        saw.blades.map((b, i) => this.axis(form, `setting.blades_mm[${i}]`, `Blade ${i + 1}${b.moving ? '' : ', fixed'}`, b.moving, i)),
        saw.max_skew_mm_per_m ? form.field('setting.skew_mm_per_m', 'Skew', 'skew') : null),
      button('Back to the best plan', () => { this.off(); this.tell(); }, { class: 'small' }));
  }

  axis(form, path, label, travel, i) {
    const field = form.field(path, label, 'length');
    if (!travel) return h('div', {}, field);
    const at = () => i === undefined ? this.values.setting.fence_mm : this.values.setting.blades_mm[i];
    const input = h('input', { type: 'range', min: travel.min_mm ?? 0, max: travel.max_mm ?? 0, step: job.saw.step_mm || 0.1, 'aria-label': `${label}, slider`,
      oninput: () => {
        if (i === undefined) this.values.setting.fence_mm = Number(input.value);
        else this.values.setting.blades_mm[i] = Number(input.value);
        input.setAttribute('aria-valuetext', width(Number(input.value)));
        this.write();
        this.tell();
      } });
    input.value = at();
    this.sliders.push({ input, at });
    return h('div', {}, field, input);
  }
}
