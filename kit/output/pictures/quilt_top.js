// The top of a quilt as one renderer of the drawing library: cloth in its patches, seams over it, what lies under the
// pointer. What it draws arrives as `parts`, whole at first and then only what changed; flat numbers are base64.
(() => {
const MESSAGE = "seamproof-top", FAR = 6, TIP = "position:absolute;z-index:9;pointer-events:none;display:none;"
    + "max-width:320px;padding:6px 9px;border-radius:4px;background:#26221f;color:#fff;font:12px/1.45 sans-serif;"
    + "white-space:pre-line;box-shadow:0 1px 4px #0006";

function unpack(text, Kind) {
    const raw = atob(text ?? ""), bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
    return new Kind(bytes.buffer);
}

function makeModel(Bokeh) {
    const {Renderer, RendererView} = Bokeh.require("models/renderers/renderer");
    const {auto_ranged} = Bokeh.require("models/ranges/data_range1d");

    class QuiltTopView extends RendererView {
        initialize() {
            super.initialize();
            this[auto_ranged] = true;
            this.parts = {};
            this.images = new Map();
            this.lit = this.chosen = null;
            this.take(JSON.parse(this.model.parts));
        }

        connect_signals() {
            super.connect_signals();
            this._hear = text => {
                const note = JSON.parse(text);
                if (note.top === this.model.id) this.take(note.parts);
            };
            this.model.document?.on_message(MESSAGE, this._hear);
            this._ends = new AbortController();
        }

        remove() {
            this.model.document?.remove_on_message(MESSAGE, this._hear);
            this._ends.abort();
            this.tip?.remove();
            super.remove();
        }

        bounds() {
            const [x0, y0, x1, y1] = this.parts.box ?? [0, 0, 1, 1];
            return {x0, y0, x1, y1};
        }

        log_bounds() { return this.bounds(); }

        // ---- what is drawn -----------------------------------------------------------------------------------------

        take(parts) {
            Object.assign(this.parts, parts);
            if ("corners" in parts) this.corners = unpack(parts.corners, Float32Array);
            if ("sizes" in parts) {
                const sizes = unpack(parts.sizes, Uint16Array), starts = new Uint32Array(sizes.length + 1);
                for (let i = 0; i < sizes.length; i++) starts[i + 1] = starts[i] + sizes[i];
                this.starts = starts;
            }
            for (const name of ["cloths", "kinds"])
                if (name in parts) this[name] = unpack(parts[name], Uint16Array);
            if ("lies" in parts) this.lies = unpack(parts.lies, Float32Array);
            if ("prints" in parts) this.load(parts.prints);
            if ("corners" in parts || "sizes" in parts) {
                this.grid = this.shapes = this.seams = null;
                this.chosen = null;
            }
            if ("corners" in parts || "sizes" in parts || "cloths" in parts) this.fields = null;
            if ("box" in parts) this.plot_view.invalidate_dataranges = true;
            this.request_paint();
        }

        load(prints) {
            for (const [k, {url}] of Object.entries(prints)) {
                if (this.images.get(k)?.url === url) continue;
                const image = new Image(), kept = {url, image, ready: false, tiles: new Map()};
                image.onload = () => { kept.ready = true; this.request_paint(); this.dress(); };
                image.src = url;
                this.images.set(k, kept);
            }
            for (const k of this.images.keys()) if (!(k in prints)) this.images.delete(k);
        }

        get count() { return (this.starts?.length ?? 1) - 1; }

        trace(path, i) {
            const {corners, starts} = this;
            path.moveTo(corners[2 * starts[i]], corners[2 * starts[i] + 1]);
            for (let j = starts[i] + 1; j < starts[i + 1]; j++) path.lineTo(corners[2 * j], corners[2 * j + 1]);
            path.closePath();
        }

        shape(i) {
            this.shapes ??= new Map();
            let path = this.shapes.get(i);
            if (path == null) {
                this.trace(path = new Path2D(), i);
                this.shapes.set(i, path);
            }
            return path;
        }

        build() {
            if (this.fields == null) {
                this.fields = new Map();
                for (let i = 0; i < this.count; i++) {
                    const k = this.cloths[i];
                    if (!this.fields.has(k)) this.fields.set(k, {path: new Path2D(), patches: []});
                    const field = this.fields.get(k);
                    this.trace(field.path, i);
                    field.patches.push(i);
                }
            }
            if (this.seams == null) {
                this.seams = [];
                for (let i = 0; i < this.count; i++) {
                    if (i % 64 === 0) this.seams.push(new Path2D());
                    this.trace(this.seams.at(-1), i);
                }
            }
        }

        // A picture of cloth, made smaller by halves until it has about as many dots as the screen.
        tile(k, scale) {
            const kept = this.images.get(String(k));
            if (!kept?.ready) return null;
            const {wide} = this.parts.prints[k], ratio = this.canvas.pixel_ratio ?? 1;
            let halves = 0;
            while (halves < 8 && kept.image.width / wide >= 2 * scale * ratio * 2 ** halves) halves += 1;
            if (!kept.tiles.has(halves)) {
                const size = side => Math.max(1, Math.round(side / 2 ** halves));
                const canvas = document.createElement("canvas");
                canvas.width = size(kept.image.width);
                canvas.height = size(kept.image.height);
                const pen = canvas.getContext("2d");
                pen.imageSmoothingQuality = "high";
                pen.drawImage(kept.image, 0, 0, canvas.width, canvas.height);
                kept.tiles.set(halves, canvas);
            }
            return kept.tiles.get(halves);
        }

        _paint(ctx) {
            if (!this.count) return;
            this.build();
            this.meet();
            const {parts} = this, {x_scale: xscale, y_scale: yscale} = this.coordinates, frame = this.plot_view.frame.bbox;
            const x0 = xscale.compute(0), y0 = yscale.compute(0);
            const kx = xscale.compute(1) - x0, ky = yscale.compute(1) - y0, dot = 1 / Math.abs(kx);
            ctx.save();
            ctx.beginPath();
            ctx.rect(frame.left, frame.top, frame.width, frame.height);
            ctx.clip();
            if (parts.ground) {
                ctx.fillStyle = parts.ground;
                ctx.fillRect(frame.left, frame.top, frame.width, frame.height);
            }
            ctx.transform(kx, 0, 0, ky, x0, y0);
            for (const [k, {path, patches}] of this.fields) {
                const tile = parts.prints && k in parts.prints ? this.tile(k, Math.abs(kx)) : null;
                ctx.fillStyle = parts.fills[k];
                if (tile == null) ctx.fill(path);
                else this.print(ctx, k, tile, patches);
            }
            ctx.lineJoin = "round";
            ctx.strokeStyle = parts.seam[0];
            ctx.lineWidth = parts.seam[1] * dot;
            for (const path of this.seams) ctx.stroke(path);
            this.mark(ctx, dot);
            ctx.restore();
            this.write(ctx, x0, y0, kx, ky);
            if (parts.ruler) this.measure(ctx, x0, y0, kx, ky, frame);
        }

        print(ctx, k, tile, patches) {
            const pattern = ctx.createPattern(tile, "repeat"), {wide, high} = this.parts.prints[k], {lies} = this;
            const [sx, sy] = [wide / tile.width, high / tile.height];
            ctx.fillStyle = pattern;
            for (const i of patches) {
                const turn = lies[3 * i], cos = Math.cos(turn), sin = Math.sin(turn);
                pattern.setTransform(new DOMMatrix(
                    [cos * sx, sin * sx, sin * sy, -cos * sy, lies[3 * i + 1], lies[3 * i + 2]]));
                ctx.fill(this.shape(i));
            }
        }

        // ---- what is marked ----------------------------------------------------------------------------------------

        list(lit) {
            if (lit == null) return [];
            if (lit.patch != null) return [lit.patch];
            const found = [], of = lit.kind == null ? this.cloths : this.kinds, wanted = lit.kind ?? lit.cloth;
            for (let i = 0; i < this.count; i++) if (of[i] === wanted) found.push(i);
            return found;
        }

        mark(ctx, dot) {
            const marked = [[this.list(this.lit), 2.2], [this.list(this.chosen), 3.4]];
            for (const [patches, wide] of marked) for (const [colour, add] of [["#ffffff", 2.4], ["#0b57b0", 0]]) {
                ctx.strokeStyle = colour;
                ctx.lineWidth = (wide + add) * dot;
                for (const i of patches) ctx.stroke(this.shape(i));
            }
        }

        write(ctx, x0, y0, kx, ky) {
            const {letters} = this.parts;
            if (!letters?.length) return;
            ctx.fillStyle = "#000000";
            ctx.font = "11px sans-serif";
            ctx.textAlign = "center";
            ctx.textBaseline = "middle";
            for (let i = 0; i < this.count; i++) {
                const [x, y] = this.middle(i);
                ctx.fillText(letters[this.cloths[i]], x0 + kx * x, y0 + ky * y);
            }
        }

        middle(i) {
            let x = 0, y = 0;
            const {corners, starts} = this, n = starts[i + 1] - starts[i];
            for (let j = starts[i]; j < starts[i + 1]; j++) { x += corners[2 * j]; y += corners[2 * j + 1]; }
            return [x / n, y / n];
        }

        measure(ctx, x0, y0, kx, ky, frame) {
            const {unit, inches} = this.parts.ruler, [left, bottom, right, top] = this.parts.box;
            const step = [1, 2, 5, 10, 20, 50, 100].find(one => one * inches * Math.abs(kx) >= 34) ?? 200;
            ctx.save();
            ctx.font = "11px sans-serif";
            ctx.strokeStyle = ctx.fillStyle = "#26221f";
            const strip = (x, y, w, h) => {
                ctx.save();
                ctx.fillStyle = "#faf6e9ee";
                ctx.fillRect(x, y, w, h);
                ctx.restore();
            };
            strip(frame.left, frame.top, frame.width, 18);
            strip(frame.left, frame.top, 30, frame.height);
            ctx.textBaseline = "middle";
            for (let n = 0; n * inches <= right - left + 1e-6; n += step) {
                const x = x0 + kx * (left + n * inches);
                if (x < frame.left + 30 || x > frame.right - 4) continue;
                ctx.fillRect(x, frame.top + 13, 1, 5);
                ctx.textAlign = "center";
                ctx.fillText(String(n), x, frame.top + 7);
            }
            for (let n = 0; n * inches <= top - bottom + 1e-6; n += step) {
                const y = y0 + ky * (top - n * inches);
                if (y < frame.top + 22 || y > frame.bottom - 4) continue;
                ctx.fillRect(frame.left + 25, y, 5, 1);
                ctx.textAlign = "right";
                ctx.fillText(String(n), frame.left + 23, y);
            }
            ctx.textAlign = "center";
            ctx.fillText(unit, frame.left + 14, frame.top + 9);
            ctx.restore();
        }

        // ---- the pointer -------------------------------------------------------------------------------------------

        find(x, y) {
            if (this.grid == null) this.index();
            const {grid, corners, starts} = this, [left, bottom, side, across] = grid.place;
            const cell = grid.cells[Math.floor((y - bottom) / side) * across + Math.floor((x - left) / side)] ?? [];
            for (const i of cell) {
                let inside = false;
                for (let j = starts[i], k = starts[i + 1] - 1; j < starts[i + 1]; k = j++) {
                    const [xj, yj, xk, yk] = [corners[2 * j], corners[2 * j + 1], corners[2 * k], corners[2 * k + 1]];
                    if (yj > y !== yk > y && x < xj + (y - yj) * (xk - xj) / (yk - yj)) inside = !inside;
                }
                if (inside) return i;
            }
            return null;
        }

        index() {
            const [left, bottom, right, top] = this.parts.box, {corners, starts} = this;
            const side = Math.max(0.05, Math.sqrt((right - left) * (top - bottom) / (this.count + 1)));
            const across = Math.floor((right - left) / side) + 1, cells = {};
            for (let i = 0; i < this.count; i++) {
                let [x0, y0, x1, y1] = [1e9, 1e9, -1e9, -1e9];
                for (let j = starts[i]; j < starts[i + 1]; j++) {
                    x0 = Math.min(x0, corners[2 * j]); x1 = Math.max(x1, corners[2 * j]);
                    y0 = Math.min(y0, corners[2 * j + 1]); y1 = Math.max(y1, corners[2 * j + 1]);
                }
                for (let r = Math.floor((y0 - bottom) / side); r <= Math.floor((y1 - bottom) / side); r++)
                    for (let c = Math.floor((x0 - left) / side); c <= Math.floor((x1 - left) / side); c++)
                        (cells[r * across + c] ??= []).push(i);
            }
            this.grid = {cells, place: [left, bottom, side, across]};
        }

        under(event) {
            const at = this.plot_view.canvas_view.events_el.getBoundingClientRect();
            const sx = event.clientX - at.left, sy = event.clientY - at.top;
            if (!this.plot_view.frame.bbox.contains(sx, sy)) return null;
            return this.find(this.coordinates.x_scale.invert(sx), this.coordinates.y_scale.invert(sy));
        }

        say(...words) {
            this.serial = (this.serial ?? 0) + 1;
            this.model.setv({said: [...words, this.serial]});
        }

        // The first time it is painted it meets the page: its own canvas, and rows of legends and tables beside it.
        meet() {
            if (this.tip != null) return;
            this.tip = document.createElement("div");
            this.tip.style.cssText = TIP;
            this.plot_view.shadow_el.append(this.tip);
            const ends = {signal: this._ends.signal}, pad = this.plot_view.canvas_view.events_el;
            let host = this.plot_view.el;
            while (host.getRootNode() instanceof ShadowRoot) host = host.getRootNode().host;
            this.screen = host.closest(".seamproof-explorer") ?? host;
            pad.addEventListener("pointermove", e => this.hover(e), ends);
            pad.addEventListener("pointerleave", () => this.light(null), ends);
            pad.addEventListener("pointerdown", e => this.press(e, this.under(e)), ends);
            pad.addEventListener("click", e => {
                const patch = this.under(e);
                if (patch != null && !this.carried) this.pick({patch});
            }, ends);
            if (this.screen === host) return;
            const row = event => event.target.closest?.("[data-cloth], .seamproof-table tbody tr");
            this.screen.addEventListener("pointerover", e => row(e) && this.light(this.read(row(e)), true), ends);
            this.screen.addEventListener("pointerout", e => row(e) && this.light(null), ends);
            this.screen.addEventListener("focusin", e => row(e) && this.light(this.read(row(e)), true), ends);
            this.screen.addEventListener("focusout", e => row(e) && this.light(null), ends);
            this.screen.addEventListener("click", e => {
                const cloth = e.target.closest?.("[data-cloth]");
                if (cloth && !this.carried) this.pick({cloth: Number(cloth.dataset.cloth)});
            }, ends);
            this.screen.addEventListener("pointerdown", e => {
                const cloth = e.target.closest?.("[data-cloth]");
                if (cloth) this.press(e, null, Number(cloth.dataset.cloth));
            }, ends);
            this.dress();
        }

        // Legends show the cloth itself where there is a picture of it.
        dress() {
            for (const swatch of this.screen?.querySelectorAll("[data-cloth] [data-swatch]") ?? []) {
                const kept = this.images.get(swatch.closest("[data-cloth]").dataset.cloth);
                swatch.style.backgroundImage = kept?.ready ? `url(${kept.url})` : "";
                swatch.style.backgroundSize = "cover";
            }
        }

        read(row) {
            if (row.dataset.cloth != null) return {cloth: Number(row.dataset.cloth)};
            const words = [...row.cells].map(cell => cell.textContent.trim());
            const kind = this.parts.ids.findIndex(id => words.includes(id));
            const cloth = this.parts.names.findIndex(name => words.includes(name));
            return kind >= 0 ? {kind} : cloth >= 0 ? {cloth} : null;
        }

        light(lit, fromRow = false) {
            if (JSON.stringify(lit) === JSON.stringify(this.lit)) return;
            this.lit = lit;
            if (lit == null) this.tip.style.display = "none";
            const patch = lit?.patch;
            const cloth = patch == null ? lit?.cloth : this.cloths[patch];
            for (const row of this.screen.querySelectorAll(".seamproof-lit")) row.classList.remove("seamproof-lit");
            if (!fromRow && patch != null)
                for (const row of this.screen.querySelectorAll("[data-cloth], .seamproof-table tbody tr")) {
                    const read = this.read(row);
                    if (read && (read.kind === this.kinds[patch] || read.cloth === cloth))
                        row.classList.add("seamproof-lit");
                }
            this.request_paint();
        }

        hover(event) {
            if (this.carry) return;
            const patch = this.under(event);
            this.light(patch == null ? null : {patch});
            if (patch == null) return;
            const {words, labels} = this.parts, told = words[this.kinds[patch]];
            this.tip.textContent = labels[this.cloths[patch]] + (told == null ? "" : `\n${told}`);
            this.point(event);
        }

        point(event) {
            if (!this.tip.isConnected) this.plot_view.shadow_el.append(this.tip);
            const at = this.plot_view.el.getBoundingClientRect();
            const [x, y] = [Math.min(event.clientX, innerWidth - 260) - at.left + 14, event.clientY - at.top + 14];
            Object.assign(this.tip.style, {display: "block", left: `${x}px`, top: `${y}px`});
        }

        pick(what) {
            this.chosen = what;
            this.say(...Object.entries(what)[0]);
            this.request_paint();
        }

        // ---- cloth carried to other cloth: the two change places ---------------------------------------------------

        press(event, patch, cloth = patch == null ? null : this.cloths[patch]) {
            this.carried = false;
            const panning = this.plot_view.model.toolbar.gestures.pan.active != null;
            if (cloth == null || event.button !== 0 || (patch != null && panning)) return;
            const from = [event.clientX, event.clientY], ends = new AbortController(), signal = ends.signal;
            addEventListener("pointermove", e => {
                if (!this.carry && Math.hypot(e.clientX - from[0], e.clientY - from[1]) < FAR) return;
                this.carry = this.carried = true;
                const over = this.over(e);
                this.light(over == null || over === cloth ? null : {cloth: over}, true);
                const names = this.parts.names;
                this.tip.textContent = over == null || over === cloth ? names[cloth] : `${names[cloth]} ⇄ ${names[over]}`;
                this.point(e);
                e.preventDefault();
            }, {signal});
            const stop = e => {
                ends.abort();
                const over = this.carry && e.type === "pointerup" ? this.over(e) : null;
                this.carry = false;
                this.light(null);
                this.tip.style.display = "none";
                if (over != null && over !== cloth) this.say("swap", cloth, over);
                setTimeout(() => { this.carried = false; }, 0);
            };
            for (const name of ["pointerup", "pointercancel"]) addEventListener(name, stop, {signal});
        }

        over(event) {
            const row = document.elementFromPoint(event.clientX, event.clientY)?.closest?.("[data-cloth]");
            if (row) return Number(row.dataset.cloth);
            const patch = this.under(event);
            return patch == null ? null : this.cloths[patch];
        }
    }

    class QuiltTop extends Renderer {}
    QuiltTop.__name__ = "QuiltTop";
    QuiltTop.__module__ = "kit.output.pictures.quilt_top";
    QuiltTop.prototype.default_view = QuiltTopView;
    QuiltTop.define(({Any}) => ({parts: [Any, '{}'], said: [Any, []]}));
    return QuiltTop;
}

function register(tries = 0) {
    const Bokeh = window.Bokeh;
    if (Bokeh?.require == null) {
        if (tries < 600) setTimeout(() => register(tries + 1), 20);
        return;
    }
    const {default_resolver} = Bokeh.require("base");
    if (default_resolver.get("kit.output.pictures.quilt_top.QuiltTop") == null)
        default_resolver.register(makeModel(Bokeh));
}
register();
})();
