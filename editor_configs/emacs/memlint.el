;;; memlint.el --- memlint in Emacs through Eglot -*- lexical-binding: t; -*-

;; Eglot comes with Emacs 29 and newer; for 26.3 to 28 it is a package of that name.

;;; Code:

(require 'eglot)

(add-to-list 'eglot-server-programs
             '((verilog-mode vhdl-mode) . ("memlint" "serve")))

(add-hook 'verilog-mode-hook #'eglot-ensure)
(add-hook 'vhdl-mode-hook #'eglot-ensure)

(provide 'memlint)
;;; memlint.el ends here
