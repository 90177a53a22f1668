// Shows the OpenAPI document of this service, to read and to try. Nothing is loaded from or sent to another host.
"use strict";

window.addEventListener("DOMContentLoaded", () => {
  SwaggerUIBundle({
    url: "/openapi.json",
    domNode: document.getElementById("interface"),
    presets: [SwaggerUIBundle.presets.apis],
    validatorUrl: null,
    deepLinking: true,
    tryItOutEnabled: true,
    defaultModelsExpandDepth: 0,
    defaultModelRendering: "model",
    displayRequestDuration: true,
    syntaxHighlight: { activated: false },
  });
});
