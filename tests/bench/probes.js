/** What a page shows, measured as it is laid out: read by test_access.py inside the browser. */
(() => {
  const parse = (text) => {
    const n = text.match(/[\d.]+/g)?.map(Number) ?? [0, 0, 0, 0];
    return { r: n[0], g: n[1], b: n[2], a: n[3] ?? 1 };
  };
  const over = (top, low) => ({ r: top.r * top.a + low.r * (1 - top.a), g: top.g * top.a + low.g * (1 - top.a), b: top.b * top.a + low.b * (1 - top.a), a: 1 });
  const light = ({ r, g, b }) => {
    const [x, y, z] = [r, g, b].map((v) => (v / 255 <= 0.03928 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const seen = (element) => {
    const box = element.getBoundingClientRect();
    return box.width > 1 && box.height > 1 && element.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true });
  };
  /** Every colour that may lie under an element: its own ground, or all that a pattern of its ground is made of. */
  const grounds = (element) => {
    const layers = [];
    let base = [{ r: 255, g: 255, b: 255, a: 1 }];
    for (let one = element; one; one = one.parentElement) {
      const style = getComputedStyle(one);
      // A stripe of a few pixels along an edge has no letters on it.
      const stops = [...style.backgroundImage.matchAll(/(rgba?\([^)]*\))(?: ([\d.]+)px)?/g)];
      const stripe = (m, n) => !style.backgroundImage.includes("repeating") && m[2] !== undefined && Number(m[2]) <= 6 && n < stops.length - 1;
      const colours = stops.filter((m, n) => !stripe(m, n)).map((m) => parse(m[1])).filter((c) => c.a === 1);
      if (colours.length) {
        base = colours;
        break;
      }
      const ground = parse(style.backgroundColor);
      if (ground.a === 1) {
        base = [ground];
        break;
      }
      if (ground.a > 0) layers.push(ground);
    }
    return base.map((colour) => layers.reduceRight((low, top) => over(top, low), colour));
  };
  const named = (element) => `${element.tagName.toLowerCase()}.${[...element.classList].join(".")} "${(element.textContent ?? "").trim().slice(0, 40)}"`;

  window.probes = {
    /** Texts that are too faint for their ground (WCAG 2.2, 1.4.3): each with its ratio. */
    faint() {
      const told = [];
      const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
      while (texts.nextNode()) {
        const element = texts.currentNode.parentElement;
        if (!texts.currentNode.textContent.trim() || !element || !seen(element) || element.closest(":disabled, [aria-disabled=true], script, option")) continue;
        const style = getComputedStyle(element);
        const size = parseFloat(style.fontSize);
        const least = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700) ? 3 : 4.5;
        const ink = parse(style.color);
        for (const ground of grounds(element)) {
          const [a, b] = [light(over(ink, ground)), light(ground)];
          const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
          if (ratio < least) {
            told.push(`${named(element)}: ${ratio.toFixed(2)}`);
            break;
          }
        }
      }
      return [...new Set(told)];
    },
    /** What can be used and has no name for those who do not see it. */
    nameless() {
      const all = document.querySelectorAll("button, a[href], input, select, textarea, [tabindex]:not([tabindex='-1']), canvas[tabindex]");
      return [...all].filter((one) => {
        if (!seen(one)) return false;
        const label = one.getAttribute("aria-label") || one.getAttribute("aria-labelledby") || one.title || [...(one.labels ?? [])].map((l) => l.textContent).join("");
        return !(label || one.textContent || "").trim() && !one.querySelector("img[alt]:not([alt=''])");
      }).map(named);
    },
    /** What a finger must hit and is smaller than it should be. */
    small(least) {
      const all = document.querySelectorAll("button, a.button, input:not([type=checkbox]):not([type=radio]):not([type=range]):not([type=file]), select, [role=option], nav a");
      return [...all].filter((one) => {
        const box = one.getBoundingClientRect();
        return seen(one) && !one.disabled && (box.height < least - 0.5 || (box.width < least - 0.5 && one.tagName === "BUTTON"));
      }).map((one) => `${named(one)}: ${one.getBoundingClientRect().width.toFixed(0)} × ${one.getBoundingClientRect().height.toFixed(0)}`);
    },
    /** What moves by itself. */
    moving: () => document.getAnimations().filter((one) => one.playState === "running").map((one) => named(one.effect.target)),
    /** How far the page is wider than the window. */
    wide: () => document.documentElement.scrollWidth - innerWidth,
    focused() {
      const one = document.activeElement;
      return one && one !== document.body ? { name: named(one), place: [...document.querySelectorAll("*")].indexOf(one), ring: getComputedStyle(one).outlineStyle !== "none" } : null;
    },
  };
})();
