// Drawings that tell what is under the pointer, and hand over what is clicked.
function light(root, tag) {
  for (const group of root.querySelectorAll("[data-tag]")) {
    const own = group.getAttribute("data-tag");
    group.classList.toggle("chosen", Boolean(tag) && (own === tag || own.startsWith(`${tag}.`)));
  }
}

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const root = parentElement.querySelector(".sheets");
  if (root.dataset.version !== data.version) {
    root.dataset.version = data.version;
    // What can be pushed along by a finger can be pushed by keys.
    root.tabIndex = 0;
    root.setAttribute("role", "group");
    root.setAttribute("aria-label", "Drawings");
    root.replaceChildren();
    data.sheets.forEach((sheet, number) => {
      const page = new DOMParser().parseFromString(sheet.svg, "image/svg+xml").documentElement;
      // Sheets stand side by side here, so that names within them must differ.
      for (const each of page.querySelectorAll("[id]")) each.id = `${each.id}-${number}`;
      page.setAttribute("aria-labelledby", `drawing-title-${number}`);
      page.removeAttribute("width");
      page.removeAttribute("height");
      root.appendChild(document.importNode(page, true));
    });
    root.onclick = (event) => {
      const group = event.target.closest("[data-tag]");
      if (!group) return;
      light(root, group.getAttribute("data-tag"));
      setTriggerValue("chosen", group.getAttribute("data-tag"));
    };
  }
  light(root, data.chosen);
}
